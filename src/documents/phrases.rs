//! The words of what hangs on a wall, in English and in Spanish: a table of our own, nothing translated by machine. Only
//! these words are said in both languages; names, labels and reasons stand as the journal has them.

use chrono::{Datelike, Duration, NaiveDate, NaiveDateTime, NaiveTime, Timelike};
use serde::Serialize;

use crate::journal::Stated;
use crate::quantity::{Amount, Exact};
use crate::season::Moment;

/// The same in both languages.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Both {
    /// In English.
    pub en: String,
    /// In Spanish.
    pub es: String,
}

impl Both {
    /// Words of the journal, which stand as they are.
    pub(super) fn same(words: impl Into<String>) -> Self {
        let words = words.into();
        Self { en: words.clone(), es: words }
    }
}

/// A phrase of the table. Words in braces are filled in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Phrase {
    /// In English.
    pub en: &'static str,
    /// In Spanish.
    pub es: &'static str,
}

impl Phrase {
    /// The phrase as it is.
    pub(super) fn said(self) -> Both {
        Both { en: self.en.to_string(), es: self.es.to_string() }
    }

    /// The phrase with its words in braces filled in, each from its own language.
    pub(super) fn with(self, values: &[(&str, &Both)]) -> Both {
        Both { en: fill(self.en, values, |both| &both.en), es: fill(self.es, values, |both| &both.es) }
    }
}

/// One pass, so that braces in what is filled in are only text.
fn fill<'b>(phrase: &str, values: &[(&str, &'b Both)], language: impl Fn(&'b Both) -> &'b str) -> String {
    let mut filled = String::new();
    let mut rest = phrase;
    while let Some((before, (name, after))) =
        rest.split_once('{').and_then(|(before, tail)| Some((before, tail.split_once('}')?)))
    {
        filled.push_str(before);
        let value = values.iter().find(|(known, _)| *known == name);
        filled.push_str(value.map_or("", |(_, value)| language(value)));
        rest = after;
    }
    filled.push_str(rest);
    filled
}

/// Declares the phrases of a table: its type, its name, and the name of the same as a list.
macro_rules! phrases {
    ($kind:ident $table:ident $list:ident; $($name:ident = $en:literal, $es:literal;)*) => {
        /// Every phrase of a table, by its name, for the templates.
        #[derive(Clone, Copy, Debug, Serialize)]
        pub struct $kind { $(#[doc = $en] pub $name: Phrase,)* }

        /// Every phrase of the table.
        pub const $table: $kind = $kind { $($name: Phrase { en: $en, es: $es },)* };

        /// The same as a list.
        #[cfg(test)]
        pub(super) const $list: &[(&str, Phrase)] = &[$((stringify!($name), $table.$name),)*];
    };
}

pub(super) use phrases;

phrases! { Phrases PHRASES ALL;
    notice = "Spray notice: read before you go in", "Aviso de aplicación: lea antes de entrar";
    stay_out = "Stay out until", "No entre hasta el";
    ask = "not recorded: ask before entering", "no consta: pregunte antes de entrar";
    ask_for = "No re-entry interval is recorded for {products}", "No consta el intervalo de entrada restringida de {products}";
    not_before = "In no case before {until}", "En ningún caso antes del {until}";
    no_interval = "No re-entry interval is stated on the labels", "Las etiquetas no indican intervalo de entrada restringida";
    ask_if_unsure = "Ask if you are not sure", "Pregunte si tiene duda";
    counted = "{interval} from the end, the longest in the tank: {products}", "{interval} desde el fin, el más largo del tanque: {products}";
    end_assumed = "The end is not recorded and is taken as {end}", "No consta el fin; se toma como {end}";
    not_recorded = "not recorded", "no consta";
    as_far_as_recorded = "by the intervals that are recorded", "según los intervalos que constan";
    place = "Place", "Lugar";
    map = "map", "mapa";
    rows = "rows {rows}", "hileras {rows}";
    odd_rows = "odd rows", "hileras impares";
    even_rows = "even rows", "hileras pares";
    every_other = "every other alley", "una calle sí y otra no";
    leftover = "got what was left in the tank", "recibió lo que sobró en el tanque";
    crop = "Crop", "Cultivo";
    location = "Where it is", "Dónde está";
    start = "Start", "Inicio";
    end = "End", "Fin";
    product = "Product", "Producto";
    registration = "Registration number", "Número de registro";
    active = "Active ingredient", "Ingrediente activo";
    interval = "Re-entry interval", "Intervalo de entrada restringida";
    none_stated = "none stated on the label", "la etiqueta no indica ninguno";
    sds = "Safety data sheet", "Hoja de datos de seguridad";
    stays_until = "This sheet stays up until", "Esta hoja se queda puesta hasta el";
    stays_at_least = "This sheet stays up at least until", "Esta hoja se queda puesta al menos hasta el";
    stays_from_reentry = "{time} after re-entry is allowed", "{time} después de permitirse la entrada";
    stays_from_end = "{time} after the end", "{time} después del fin";
    stays_unknown = "No rule that the farm has adopted says how long this sheet stays up", "Ninguna norma adoptada por la finca dice cuánto tiempo se queda esta hoja";
    tell = "Tell the crew", "Diga a la cuadrilla";
    tell_until = "{place}: sprayed {span} with {products}. Nobody goes in before {until}.", "{place}: aplicación {span} con {products}. Nadie entra antes del {until}.";
    tell_ask = "{place}: sprayed {span} with {products}. A re-entry interval is not recorded: ask before you go in.", "{place}: aplicación {span} con {products}. No consta un intervalo de entrada restringida: pregunte antes de entrar.";
    tell_none = "{place}: sprayed {span} with {products}. The labels state no re-entry interval: ask if you are not sure.", "{place}: aplicación {span} con {products}. Las etiquetas no indican intervalo de entrada restringida: pregunte si tiene duda.";
    span_one_day = "on {day} from {start} to {end}", "el {day}, de {start} a {end}";
    span_two_days = "from {start} to {end}", "del {start} al {end}";
    span_without_end = "from {start}, end not recorded,", "desde el {start}, no consta el fin,";
    span_without_times = "on {day}, times not recorded,", "el {day}, no constan las horas,";
    read_all = "Read every sheet about this place: the longest time counts", "Lea todas las hojas sobre este lugar: vale el plazo más largo";
    longer = "Another spray keeps {place} closed until {until}", "Otra aplicación mantiene cerrado {place} hasta el {until}";
    zone_unknown = "How it was sprayed is not fully recorded: while spraying, nobody but those who spray within {distance}", "No consta por completo cómo se aplicó: durante la aplicación, nadie más que quienes aplican a menos de {distance}";
    zone = "While spraying, nobody but those who spray within {distance}", "Durante la aplicación, nadie más que quienes aplican a menos de {distance}";
    emergency = "Emergency", "Emergencia";
    emergency_what = "If anyone feels sick or was sprayed on: call for help at once. First aid is on the label. Give this sheet and the label to those who treat them.", "Si alguien se siente mal o le cayó producto: pida ayuda de inmediato. Los primeros auxilios están en la etiqueta. Entregue esta hoja y la etiqueta a quien lo atienda.";
    medical = "Nearest medical help, telephone (write it in)", "Atención médica más cercana, teléfono (anótelo)";
    farm = "Farm", "Finca";
    contact = "Contact", "Contacto";
    hung = "Hung up: day, time, by", "Puesta: día, hora, quién";
    taken = "Taken down: day, time, by", "Quitada: día, hora, quién";
    asked_by = "Asked for by", "Lo pide";
    farm_asks = "the farm itself", "la propia finca";
    material_asks = "the label of {products}, by the journal", "la etiqueta de {products}, según el diario";
    corrected = "This record was corrected", "Este registro se corrigió";
    was = "it said", "decía";
    now = "it says", "dice";
    errors = "This record has open errors: ask the farm before you rely on this sheet", "Este registro tiene errores abiertos: pregunte a la finca antes de confiar en esta hoja";
    board = "Clearance board", "Tablero de entrada y cosecha";
    block = "Block", "Bloque";
    enter = "Enter?", "¿Entrar?";
    pick = "Pick?", "¿Cosechar?";
    turns_clear = "Turns clear", "Queda libre";
    clear = "Clear", "Libre";
    closed = "Closed", "Cerrado";
    ask_first = "Ask first", "Pregunte primero";
    not_known = "not known", "no se sabe";
    to_enter = "enter: {until}", "entrar: {until}";
    to_pick = "pick: {until}", "cosechar: {until}";
    at_least = "not before {until}, and ask first", "no antes: {until}, y pregunte primero";
    first_of_two = "{time}, the first of two", "{time}, la primera de dos";
    second_of_two = "{time}, the second of two", "{time}, la segunda de dos";
    why = "Why", "Por qué";
    until = "Until", "Hasta";
    posted = "Posted", "Avisos puestos";
    due = "Due", "Pendiente";
    clear_means = "Clear: no interval in this journal runs. It is no permission: the product label, the law and licensed advice come first.", "Libre: ningún plazo de este diario corre. No es permiso: primero están la etiqueta, la ley y la asesoría autorizada.";
    as_written = "Names, crops, places and numbers stand as the journal has them. The product label is the law.", "Los nombres, cultivos, lugares y números están como en el diario. La etiqueta del producto es la ley.";
}

const DAYS: [Phrase; 7] = [
    Phrase { en: "Monday", es: "lunes" },
    Phrase { en: "Tuesday", es: "martes" },
    Phrase { en: "Wednesday", es: "miércoles" },
    Phrase { en: "Thursday", es: "jueves" },
    Phrase { en: "Friday", es: "viernes" },
    Phrase { en: "Saturday", es: "sábado" },
    Phrase { en: "Sunday", es: "domingo" },
];

const MONTHS: [Phrase; 12] = [
    Phrase { en: "January", es: "enero" },
    Phrase { en: "February", es: "febrero" },
    Phrase { en: "March", es: "marzo" },
    Phrase { en: "April", es: "abril" },
    Phrase { en: "May", es: "mayo" },
    Phrase { en: "June", es: "junio" },
    Phrase { en: "July", es: "julio" },
    Phrase { en: "August", es: "agosto" },
    Phrase { en: "September", es: "septiembre" },
    Phrase { en: "October", es: "octubre" },
    Phrase { en: "November", es: "noviembre" },
    Phrase { en: "December", es: "diciembre" },
];

/// Units of time by their symbol: one of it, and several.
const TIMES: [(&str, Phrase, Phrase); 5] = [
    ("s", Phrase { en: "second", es: "segundo" }, Phrase { en: "seconds", es: "segundos" }),
    ("min", Phrase { en: "minute", es: "minuto" }, Phrase { en: "minutes", es: "minutos" }),
    ("h", Phrase { en: "hour", es: "hora" }, Phrase { en: "hours", es: "horas" }),
    ("day", Phrase { en: "day", es: "día" }, Phrase { en: "days", es: "días" }),
    ("week", Phrase { en: "week", es: "semana" }, Phrase { en: "weeks", es: "semanas" }),
];

const DAY_BEGINS: Phrase = Phrase { en: "as the day begins", es: "al empezar el día" };
const NOON: Phrase = Phrase { en: "noon", es: "mediodía" };
const MIDNIGHT: Phrase = Phrase { en: "midnight, as this day begins", es: "medianoche, al empezar este día" };
const MORNING: Phrase = Phrase { en: "am", es: "a. m." };
const EVENING: Phrase = Phrase { en: "pm", es: "p. m." };

/// `Friday 1 May 2026`, `viernes 1 de mayo de 2026`: no order of numbers to mistake.
pub(super) fn day(day: NaiveDate) -> Both {
    let name = DAYS[day.weekday().num_days_from_monday() as usize];
    let month = MONTHS[day.month0() as usize];
    Both {
        en: format!("{} {} {} {}", name.en, day.day(), month.en, day.year()),
        es: format!("{} {} de {} de {}", name.es, day.day(), month.es, day.year()),
    }
}

/// `14:30 (2:30 pm)`, `14:30 (2:30 p. m.)`: for those who read the one clock and those who read the other.
pub(super) fn clock(local: NaiveDateTime) -> Both {
    let half = if local.hour() < 12 { MORNING } else { EVENING };
    let twelve = format!("{}:{:02} ", (local.hour() + 11) % 12 + 1, local.minute());
    let other = match (local.hour(), local.minute()) {
        (0, 0) => MIDNIGHT.said(),
        (12, 0) => NOON.said(),
        _ => Both { en: twelve.clone() + half.en, es: twelve + half.es },
    };
    let shown = local.format("%H:%M");
    Both { en: format!("{shown} ({})", other.en), es: format!("{shown} ({})", other.es) }
}

/// `Friday 1 May 2026, 14:30 (2:30 pm)`.
pub(super) fn moment(local: NaiveDateTime) -> Both {
    let (day, clock) = (day(local.date()), clock(local));
    Both { en: format!("{}, {}", day.en, clock.en), es: format!("{}, {}", day.es, clock.es) }
}

const DAYS_SHORT: [&str; 7] = ["lun", "mar", "mié", "jue", "vie", "sáb", "dom"];
const MONTHS_SHORT: [&str; 12] = ["ene", "feb", "mar", "abr", "may", "jun", "jul", "ago", "sep", "oct", "nov", "dic"];

/// `Fri 1 May, 14:30 (2:30 pm)`, with the year where it is another than that of a moment beside it.
pub(super) fn short(local: NaiveDateTime, beside: NaiveDateTime) -> Both {
    let clock = if local.time() == NaiveTime::MIN { DAY_BEGINS.said() } else { clock(local) };
    let year = if local.year() == beside.year() { String::new() } else { format!(" {}", local.year()) };
    let (day, month) = (local.weekday().num_days_from_monday() as usize, local.month0() as usize);
    Both {
        en: format!("{}{year}, {}", local.format("%a %-d %b"), clock.en),
        es: format!("{} {} {}{year}, {}", DAYS_SHORT[day], local.day(), MONTHS_SHORT[month], clock.es),
    }
}

/// The end of a wait as the clock shows it: a part of a minute is a whole one, so that nothing printed is too early.
pub(super) fn whole_minute(moment: Moment) -> NaiveDateTime {
    let over = moment.local.second();
    let add = Duration::seconds(if over == 0 { 0 } else { i64::from(60 - over) });
    moment.local.checked_add_signed(add).unwrap_or(moment.local)
}

/// A time as it was written: `12 hours`, `12 horas`.
pub(super) fn time(time: Amount) -> Both {
    let symbol = time.unit.word();
    let known = TIMES.iter().find(|(known, ..)| *known == symbol);
    let Some((_, one, several)) = known else { return Both::same(time.to_string()) };
    let unit = if time.value == Exact::ONE { one } else { several };
    Both { en: format!("{} {}", time.value, unit.en), es: format!("{} {}", time.value, unit.es) }
}

/// A number of seconds in the largest unit that needs no fraction: `30 days`, `30 días`.
pub(super) fn seconds(seconds: i64) -> Both {
    let (count, symbol) = [(86_400, "day"), (3_600, "h"), (60, "min")]
        .into_iter()
        .find(|(unit, _)| seconds % unit == 0)
        .map_or((seconds, "s"), |(unit, symbol)| (seconds / unit, symbol));
    let (_, one, several) = TIMES.iter().find(|(known, ..)| *known == symbol).copied().unwrap_or(TIMES[0]);
    let unit = if count == 1 { one } else { several };
    Both { en: format!("{count} {}", unit.en), es: format!("{count} {}", unit.es) }
}

/// What a label says of a time.
pub(super) fn stated(time_stated: Stated) -> Both {
    match time_stated {
        Stated::NoneStated => PHRASES.none_stated.said(),
        Stated::For(amount) => time(amount),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Words that stand in one language only: a phrase with one of the other's was not translated.
    const ENGLISH: &[&str] = &[
        "the", "and", "not", "is", "of", "to", "by", "with", "was", "from", "before", "until", "for", "in", "on", "at",
    ];
    const SPANISH: &[&str] =
        &["el", "la", "los", "las", "de", "del", "que", "y", "en", "se", "con", "hasta", "no", "es", "por", "al"];

    /// The words of a phrase, those in braces left out.
    fn words(text: &str) -> Vec<String> {
        let bare: Vec<&str> =
            text.split('{').map(|part| part.split_once('}').map_or(part, |(_, after)| after)).collect();
        bare.join(" ").split(|letter: char| !letter.is_alphabetic()).map(str::to_lowercase).collect()
    }

    fn holes(text: &str) -> Vec<&str> {
        let mut holes: Vec<&str> =
            text.split('{').skip(1).map(|part| part.split_once('}').expect("a brace is closed").0).collect();
        holes.sort_unstable();
        holes
    }

    fn every() -> Vec<(&'static str, Phrase)> {
        let more = DAYS.into_iter().chain(MONTHS).chain([DAY_BEGINS, NOON, MIDNIGHT, MORNING, EVENING]);
        let times = TIMES.into_iter().flat_map(|(_, one, several)| [one, several]);
        ALL.iter()
            .chain(super::super::phrases_mix::ALL)
            .copied()
            .chain(more.chain(times).map(|phrase| (phrase.en, phrase)))
            .collect()
    }

    #[test]
    fn no_phrase_is_missing_or_left_in_the_other_language() {
        assert!(every().len() > 70);
        for (name, phrase) in every() {
            assert!(!phrase.en.trim().is_empty() && !phrase.es.trim().is_empty(), "{name}");
            assert_ne!(phrase.en.to_lowercase(), phrase.es.to_lowercase(), "{name} is the same in both");
            assert_eq!(holes(phrase.en), holes(phrase.es), "{name} is filled in otherwise in Spanish");
            assert!(!words(phrase.es).iter().any(|word| ENGLISH.contains(&word.as_str())), "{name}: {}", phrase.es);
            // `no` is a word of both.
            let foreign = |word: &String| word != "no" && SPANISH.contains(&word.as_str());
            assert!(!words(phrase.en).iter().any(foreign), "{name}: {}", phrase.en);
        }
    }

    #[test]
    fn no_two_phrases_say_the_same() {
        for (at, (name, phrase)) in ALL.iter().enumerate() {
            for (other, later) in &ALL[at + 1..] {
                assert!(phrase.en != later.en && phrase.es != later.es, "{name} and {other}");
            }
        }
    }

    #[test]
    fn days_are_named_as_the_calendar_has_them() {
        let first = NaiveDate::from_ymd_opt(2024, 1, 1).unwrap();
        for date in first.iter_days().take(366) {
            assert_eq!(day(date).en, date.format("%A %-d %B %Y").to_string());
        }
        let one = NaiveDate::from_ymd_opt(2026, 9, 2).unwrap();
        assert_eq!(day(one).es, "miércoles 2 de septiembre de 2026");
    }

    #[test]
    fn both_clocks_say_the_same_time() {
        let at = |hour, minute| {
            let day = NaiveDate::from_ymd_opt(2026, 5, 1).unwrap();
            clock(day.and_hms_opt(hour, minute, 0).unwrap())
        };
        for (hour, minute, en, es) in [
            (0, 0, "00:00 (midnight, as this day begins)", "00:00 (medianoche, al empezar este día)"),
            (0, 5, "00:05 (12:05 am)", "00:05 (12:05 a. m.)"),
            (6, 10, "06:10 (6:10 am)", "06:10 (6:10 a. m.)"),
            (12, 0, "12:00 (noon)", "12:00 (mediodía)"),
            (12, 1, "12:01 (12:01 pm)", "12:01 (12:01 p. m.)"),
            (23, 59, "23:59 (11:59 pm)", "23:59 (11:59 p. m.)"),
        ] {
            assert_eq!(at(hour, minute), Both { en: en.into(), es: es.into() });
        }
    }

    #[test]
    fn short_days_are_the_first_letters_of_the_long_ones() {
        let first = NaiveDate::from_ymd_opt(2024, 1, 1).unwrap();
        for date in first.iter_days().take(366) {
            let local = date.and_hms_opt(14, 30, 0).unwrap();
            let (long, short) = (day(date).es, short(local, local).es);
            let letters = |word: &str| word.chars().take(3).collect::<String>();
            let words: Vec<&str> = long.split(' ').collect();
            let wanted = format!("{} {} {}, 14:30 (2:30 p. m.)", letters(words[0]), words[1], letters(words[3]));
            assert_eq!(short, wanted);
        }
        let local = first.and_hms_opt(0, 0, 0).unwrap();
        let before = first.pred_opt().unwrap().and_hms_opt(23, 0, 0).unwrap();
        assert_eq!(short(local, before).en, "Mon 1 Jan 2024, as the day begins");
    }

    #[test]
    fn what_is_filled_in_is_only_text() {
        let brace = Both::same("{until} {");
        let until = Both::same("noon");
        let said = PHRASES.not_before.with(&[("until", &brace)]);
        assert_eq!(said.en, "In no case before {until} {");
        assert_eq!(PHRASES.not_before.with(&[("until", &until)]).es, "En ningún caso antes del noon");
    }

    #[test]
    fn a_part_of_a_minute_is_a_whole_one() {
        let local = NaiveDate::from_ymd_opt(2026, 12, 31).unwrap().and_hms_opt(23, 59, 1).unwrap();
        let next = NaiveDate::from_ymd_opt(2027, 1, 1).unwrap().and_hms_opt(0, 0, 0).unwrap();
        assert_eq!(whole_minute(Moment { seconds: 0, local }), next);
        assert_eq!(whole_minute(Moment { seconds: 0, local: next }), next);
    }
}
