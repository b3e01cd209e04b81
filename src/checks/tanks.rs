//! What meets in one tank: recipes once each, and sprays for what they put in besides; and which rules name two of them.

use rustc_hash::FxHashMap;

use super::{Findings, scene};
use crate::journal::{BrewId, Material, MaterialId, MixId, Put};
use crate::season::{By, Season};
use crate::text::Span;

/// An ingredient, and where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ingredient {
    pub(super) material: MaterialId,
    pub(super) span: Span,
    /// Whether it is what makes this tank differ from the recipe.
    pub(super) own: bool,
}

/// A tank: a recipe, or a spray that puts in more than its recipe says.
#[derive(Clone, Copy, Debug)]
pub(super) enum Tank {
    /// A mix.
    Mix(MixId),
    /// A place in the season's list of sprays.
    Spray(usize),
    /// A home-made batch.
    Brew(BrewId),
}

impl Tank {
    /// The tank in words: `the mix leaf-tonic`, `the tank for creek-pear`.
    pub(super) fn words(self, season: &Season<'_>) -> String {
        match self {
            Tank::Mix(mix) => format!("the mix {}", season.journal.mix(mix).named.name),
            Tank::Spray(at) => {
                let spray = season.sprays[at].spray(season.journal);
                format!("the tank for {}", scene::blocks(season, &spray.ground))
            }
            Tank::Brew(brew) => format!("the batch {}", season.journal.brew(brew).named.name),
        }
    }
}

/// Calls for every tank with its ingredients; for that of a spray as [`Findings::each_spray`] does.
pub(super) fn each(
    season: &Season<'_>,
    found: &mut Findings,
    by: By,
    mut look: impl FnMut(&mut Findings, Tank, &[Ingredient]),
) {
    let journal = season.journal;
    let mut ingredients: Vec<Ingredient> = Vec::new();
    for (index, mix) in journal.mixes.iter().enumerate() {
        ingredients.clear();
        ingredients.extend(of_puts(&mix.puts));
        look(found, Tank::Mix(MixId(index as u32)), &ingredients);
    }
    found.each_spray(season, by, |found, at, facts| {
        let spray = facts.spray(journal);
        let own = |span: Span| spray.at.entry.covers(span);
        if !facts.doses.iter().any(|dose| own(dose.span)) {
            return;
        }
        ingredients.clear();
        ingredients.extend(facts.doses.iter().map(|dose| Ingredient {
            material: dose.material,
            span: dose.span,
            own: own(dose.span),
        }));
        look(found, Tank::Spray(at), &ingredients);
    });
}

/// Calls for every home-made batch with what went into it.
pub(super) fn each_brew(season: &Season<'_>, mut look: impl FnMut(Tank, &[Ingredient])) {
    let mut ingredients: Vec<Ingredient> = Vec::new();
    for (index, brew) in season.journal.brews.iter().enumerate() {
        ingredients.clear();
        ingredients.extend(of_puts(&brew.puts));
        look(Tank::Brew(BrewId::at(index)), &ingredients);
    }
}

fn of_puts(puts: &[Put]) -> impl Iterator<Item = Ingredient> {
    puts.iter().filter_map(|put| Some(Ingredient { material: put.material.id?, span: put.material.span, own: true }))
}

/// Two sides of a rule: classes or names of materials, in lower case.
#[derive(Clone, Debug)]
pub(super) struct Pairing<'j, R> {
    /// The one.
    pub(super) what: &'j str,
    /// The others.
    pub(super) with: Vec<&'j str>,
    /// The rule itself.
    pub(super) rule: R,
}

/// Which sides of which rules every material is on.
#[derive(Debug)]
pub(super) struct Sides {
    /// For each material, the rules it is named by, and on which side.
    of: Vec<Vec<(usize, usize)>>,
    rules: usize,
}

impl Sides {
    /// Looks every material up in the rules.
    pub(super) fn new<R>(materials: &[Material], rules: &[Pairing<'_, R>]) -> Self {
        Self::known_as(materials, rules, |_| Vec::new())
    }

    /// As [`Sides::new`], with more words by which a material is known.
    pub(super) fn known_as<R>(
        materials: &[Material],
        rules: &[Pairing<'_, R>],
        more: impl Fn(&Material) -> Vec<&'static str>,
    ) -> Self {
        let mut named: FxHashMap<&str, Vec<usize>> = FxHashMap::default();
        for (index, material) in materials.iter().enumerate() {
            let words =
                material.classes.iter().map(|class| &*class.value).chain([&*material.named.name]).chain(more(material));
            for word in words {
                let list = named.entry(word).or_default();
                if list.last() != Some(&index) {
                    list.push(index);
                }
            }
        }
        let mut of: Vec<Vec<(usize, usize)>> = vec![Vec::new(); materials.len()];
        for (rule, pairing) in rules.iter().enumerate() {
            let sides = [std::slice::from_ref(&pairing.what), pairing.with.as_slice()];
            for (side, words) in sides.into_iter().enumerate() {
                for &index in words.iter().filter_map(|word| named.get(word)).flatten() {
                    if of[index].last() != Some(&(rule, side)) {
                        of[index].push((rule, side));
                    }
                }
            }
        }
        Self { of, rules: rules.len() }
    }

    /// The rules a material is named by.
    pub(super) fn of(&self, material: MaterialId) -> &[(usize, usize)] {
        &self.of[material.index()]
    }

    /// Something to look through tanks with.
    pub(super) fn finder(&self) -> Finder<'_> {
        Finder { sides: self, seen: vec![[None; 2]; self.rules], touched: Vec::new() }
    }
}

/// Looks through tanks, one after the other, for the two sides of a rule.
#[derive(Debug)]
pub(super) struct Finder<'s> {
    sides: &'s Sides,
    seen: Vec<[Option<Ingredient>; 2]>,
    touched: Vec<usize>,
}

impl Finder<'_> {
    /// The rules of which both sides are in a tank, each with the two ingredients, in the order of the rules. A pair that
    /// several rules name is given once, for the first of them; a pair that the recipe alone brings is not a spray's.
    pub(super) fn find(&mut self, ingredients: &[Ingredient], mut meet: impl FnMut(usize, Ingredient, Ingredient)) {
        for &ingredient in ingredients {
            for &(rule, side) in self.sides.of(ingredient.material) {
                let seen = &mut self.seen[rule];
                let other = seen[1 - side].is_some_and(|other| other.material == ingredient.material);
                // One that is on both sides is not kept from itself; an ingredient of the spray's own comes first.
                if other || seen[side].is_some_and(|known| known.own || !ingredient.own) {
                    continue;
                }
                seen[side] = Some(ingredient);
                self.touched.push(rule);
            }
        }
        self.touched.sort_unstable();
        self.touched.dedup();
        let mut met: Vec<(MaterialId, MaterialId)> = Vec::new();
        for rule in self.touched.drain(..) {
            if let [Some(one), Some(other)] = std::mem::take(&mut self.seen[rule])
                && (one.own || other.own)
            {
                let pair = (one.material.min(other.material), one.material.max(other.material));
                if !met.contains(&pair) {
                    met.push(pair);
                    meet(rule, one, other);
                }
            }
        }
    }
}
