//! How strong a tank is, worked by hand.

use super::{codes, only};

/// A 3-gallon tank with some of these in it. Every amount is for the whole tank.
fn tank(puts: &[(&str, &str)], limits: &str) -> String {
    let materials: String = puts
        .iter()
        .map(|(name, _)| {
            let form = if *name == "magnesium-sulfate" { "dry" } else { "liquid" };
            format!("material {name}\n    form {form}\n\n")
        })
        .collect();
    let puts: String = puts.iter().map(|(name, amount)| format!("    put {name} {amount}\n")).collect();
    format!(
        "{materials}limits house-rules\n{limits}\nmix tonic\n    in 3 gal\n{puts}\nblock oak\n    crop pear\n    area 0.1 acre\n\n\
         2026-05-14\n\nspray oak\n    mix tonic, 3 gal\n    time 06:00 to 07:00\n"
    )
}

/// At most 8 oz of everything in a gallon of a home foliar tank: common practice, no source.
const EIGHT: &str = "    total at most 8 oz per gal\n";

const UNDER: &[(&str, &str)] = &[
    // 1/2 oz per gal of magnesium sulfate: common practice, no source.
    ("magnesium-sulfate", "1.5 oz"),
    // 2 to 4 fl oz per gal each of cultured dairy and cider vinegar: common practice, no source.
    ("cultured-dairy", "9 fl oz"),
    ("cider-vinegar", "1 cup"),
    ("blackstrap", "2 tbsp"),
];

#[test]
fn a_three_gallon_tank_stays_under_the_limit_and_one_more_ingredient_takes_it_over() {
    // 1.5 + 9 + 8 + 1 = 19.5 oz in 3 gal: 6.5 oz per gal.
    assert_eq!(codes(&tank(UNDER, EIGHT)), Vec::<&str>::new());
    // 6 fl oz more: 25.5 oz in 3 gal, 8.5 oz per gal, half an ounce too much.
    let mut over = UNDER.to_vec();
    over.push(("kelp-extract", "6 fl oz"));
    let finding = only(&tank(&over, EIGHT), "mix-over-limit");
    assert_eq!(
        finding.headline,
        "tonic adds up to 8.5 oz per gal, 0.5 oz per gal more than the limit of house-rules, 8 oz per gal"
    );
    assert_eq!(
        finding.working,
        [
            "counted: liquids by volume (fl oz), dry materials by weight (oz wt)",
            "magnesium-sulfate: 0.5 oz per gal",
            "cultured-dairy: 3 oz per gal",
            "cider-vinegar: 2.667 oz per gal",
            "blackstrap: 0.3333 oz per gal",
            "kelp-extract: 2 oz per gal",
            "together 8.5 oz per gal; 8.5 oz per gal - 8 oz per gal = 0.5 oz per gal too much",
        ]
    );
    // 3 gal x 8.5 / 8 = 3.1875 gal, rounded up.
    assert!(finding.help.unwrap().contains("the amounts for 3 gal into at least 3.19 gal of finished spray"));
}

#[test]
fn at_the_limit_is_allowed_and_a_hair_more_is_not() {
    let kelp = |amount| {
        let mut puts = UNDER.to_vec();
        puts.push(("kelp-extract", amount));
        tank(&puts, EIGHT)
    };
    assert_eq!(codes(&kelp("4.5 fl oz")), Vec::<&str>::new());
    let finding = only(&kelp("4.500003 fl oz"), "mix-over-limit");
    assert!(finding.headline.contains("8.000001 oz per gal"), "{}", finding.headline);
}

#[test]
fn the_limit_s_unit_decides_what_counts() {
    // 18 fl oz of liquids in 384 fl oz are 4.6875 % v/v; the magnesium sulfate does not count.
    let finding = only(&tank(UNDER, "    total at most 4.5 % v/v\n"), "mix-over-limit");
    assert!(finding.headline.starts_with("tonic adds up to 4.688 % v/v"), "{}", finding.headline);
    assert_eq!(codes(&tank(UNDER, "    total at most 4.7 % v/v\n")), Vec::<&str>::new());
    // By weight only what has a weight is known: 1.5 oz in 3 gal are 0.37 % w/v, and the liquids say no density.
    assert_eq!(codes(&tank(UNDER, "    total at most 0.4 % w/v\n")), Vec::<&str>::new());
    let finding = only(&tank(UNDER, "    total at most 0.3 % w/v\n"), "mix-over-limit");
    assert!(
        finding
            .working
            .contains(&"blackstrap: not counted, since what it weighs for its volume is not known".to_string())
    );
}

#[test]
fn a_limit_for_a_crop_goes_before_one_for_all() {
    let both = |pear: &str| format!("    total at most 6 oz per gal\n    total at most {pear} oz per gal on pear\n");
    assert_eq!(codes(&tank(UNDER, &both("7"))), Vec::<&str>::new());
    assert_eq!(codes(&tank(UNDER, &both("5"))), ["mix-over-limit"]);
    assert_eq!(codes(&tank(UNDER, "    total at most 5 oz per gal on apple\n")), Vec::<&str>::new());
}

#[test]
fn of_several_limits_broken_the_worst_is_told() {
    let limits = "    total at most 6 oz per gal\n    total cider-vinegar at most 2 oz per gal\n";
    let mut puts = UNDER.to_vec();
    puts.push(("kelp-extract", "1 tsp"));
    assert_eq!(codes(&tank(&puts, limits)), ["class-over-limit", "mix-over-limit"]);
    let twice = "    total at most 6 oz per gal\n\nlimits guide\n    total at most 3 oz per gal\n";
    let finding = only(&tank(UNDER, twice), "mix-over-limit");
    assert!(finding.headline.contains("the limit of guide"), "{}", finding.headline);
}

#[test]
fn an_ingredient_of_unknown_amount_raises_nothing_more() {
    let puts = [("cultured-dairy", "9 fl oz"), ("kelp-extract", "9 furlongs")];
    assert_eq!(codes(&tank(&puts, EIGHT)).iter().filter(|code| code.contains("limit")).count(), 0);
}

#[test]
fn a_tank_of_its_own_is_told_at_the_spray_and_the_same_recipe_only_once() {
    let journal = |puts: &str| {
        let tonic = tank(UNDER, EIGHT);
        format!("{tonic}{puts}\n2026-05-21\n\nspray oak\n    mix tonic, 6 gal\n    time 06:00 to 07:00\n")
    };
    assert_eq!(codes(&journal("")), Vec::<&str>::new());
    let finding = only(&journal("    put blackstrap 6 fl oz\n"), "mix-over-limit");
    assert!(finding.headline.starts_with("the tank for oak adds up to 8.5 oz per gal"), "{}", finding.headline);
}

#[test]
fn what_is_not_known_is_named_once_and_only_where_it_would_count() {
    let text = "material oil\n    form liquid\n\nmaterial soap\n    form liquid\n\nmaterial clay\n    form dry\n\n\
                limits house\n    total at most 2 % v/v\n\nblock oak\n    crop pear\n    area 1 acre\n\n2026-05-14\n\nspray oak\n    \
                volume 100 gal\n    put oil 3 gal\n    put soap 1 pt per tree\n    put clay 1 lb per tree\n    time 06:00 to 07:00\n";
    let finding = only(text, "mix-over-limit");
    let left_out: Vec<&String> = finding.working.iter().filter(|line| line.contains("not counted")).collect();
    assert_eq!(left_out, ["soap: not counted, since how much of it there is is not known"]);
}
