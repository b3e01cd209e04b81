//! Every row of `published.txt`.

use foliary::quantity::{Amount, Dimension, Exact, Per, Rate, Strength, Unit, WrittenShare};

use super::{amount, density, number, rate, unit};

const TABLE: &str = include_str!("published.txt");

/// What stands on either side of the words of a sum.
#[derive(Clone, Copy)]
enum Value {
    Amount(Amount),
    Rate(Rate),
}

fn value(words: &str) -> Value {
    Amount::parse(words).map_or_else(|_| Value::Rate(rate(words)), Value::Amount)
}

fn as_amount(value: Value) -> Amount {
    let Value::Amount(amount) = value else { panic!("an amount is needed") };
    amount
}

fn as_rate(value: Value) -> Rate {
    match value {
        Value::Rate(rate) => rate,
        Value::Amount(share) => Rate::share(share).unwrap(),
    }
}

/// The first number, carried through ` by `, ` of `, ` at `, ` for ` and ` in ` from left to right.
fn answer(sum: &str) -> Exact {
    if let Some((left, right)) = sum.split_once(" over ") {
        return amount(left).ratio(amount(right)).unwrap();
    }
    let mut words = sum;
    let mut steps = Vec::new();
    while let Some((at, step)) =
        [" by ", " of ", " at ", " for ", " in "].iter().filter_map(|step| Some((words.rfind(step)?, *step))).max()
    {
        steps.push((step, words[at + step.len()..].trim()));
        words = &words[..at];
    }
    let mut value = value(words);
    for (step, right) in steps.into_iter().rev() {
        value = match step {
            " by " => Value::Amount(as_amount(value).by(amount(right)).unwrap()),
            " of " => {
                let (left, density) = (as_amount(value), density(right));
                Value::Amount(match left.dimension() {
                    Dimension::Mass => density.volume_of(left).unwrap(),
                    _ => density.mass_of(left).unwrap(),
                })
            }
            " at " => Value::Rate(per_spray(as_rate(value), rate(right))),
            " for " => {
                let (rate, of) = (as_rate(value), amount(right));
                Value::Amount(match of.dimension() {
                    Dimension::Area => rate.for_area(of).unwrap(),
                    _ => rate.for_volume(of).unwrap(),
                })
            }
            _ => convert(value, right),
        };
    }
    match value {
        Value::Amount(amount) | Value::Rate(Rate::Of { amount, .. }) => amount.value,
        Value::Rate(Rate::ByVolume(share, WrittenShare::In(unit)) | Rate::ByWeight(share, unit)) => {
            Amount::from_base(share, unit).unwrap().value
        }
        Value::Rate(Rate::ByVolume(_, WrittenShare::OneIn)) => panic!("no sum asks for 1:n"),
    }
}

/// A rate per area as a rate per finished volume, in mL or g per mL.
fn per_spray(rate: Rate, spray: Rate) -> Rate {
    let (value, unit) = match rate.per_ml(None, None, Some(spray)).unwrap() {
        Strength { by_volume: Some(value), by_weight: None } => (value, Unit::MILLILITRE),
        Strength { by_volume: None, by_weight: Some(value) } => (value, Unit::GRAM),
        both => panic!("no density was given: {both:?}"),
    };
    Rate::Of { amount: Amount::new(value, unit), per: Per::Volume(Amount::of(1, Unit::MILLILITRE)) }
}

fn convert(value: Value, to: &str) -> Value {
    let Some((left, right)) = to.split_once(" per ") else {
        let unit = unit(to);
        return match value {
            Value::Amount(amount) => Value::Amount(amount.in_unit(unit).unwrap()),
            Value::Rate(rate) => Value::Rate(rate.as_share(unit).unwrap()),
        };
    };
    let per = Amount::parse(right).unwrap_or_else(|_| Amount::of(1, unit(right)));
    Value::Rate(as_rate(value).said_as(unit(left), Per::counted(per).unwrap()).unwrap())
}

#[test]
fn every_published_number() {
    let mut rows = 0;
    for line in TABLE.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let columns: Vec<&str> = line.split('|').map(str::trim).collect();
        let [sum, result, within, known, source] = columns[..] else { panic!("five columns: {line}") };
        assert!(["printed", "memory", "derived"].contains(&known) && !source.is_empty(), "{line}");
        let found = answer(sum);
        let off = found.sub(number(result)).unwrap().abs();
        assert!(off <= number(within), "{sum}: {} and not {result} ({source})", found.decimal(12));
        rows += 1;
    }
    assert!(rows > 90, "only {rows} rows were run");
}
