//! Prints how well the judgement does on simulated shops: `judge_shops WORLD FIRST-SEED SHOPS`, where `WORLD` is
//! `easy`, `normal`, `hard`, one of these with `-small`, or `all`; and with `time` how long it takes.

#[path = "../tests/simulation/dawid_skene.rs"]
mod dawid_skene;
#[path = "../tests/simulation/dice.rs"]
mod dice;
#[path = "../tests/simulation/measure.rs"]
mod measure;
#[path = "../tests/simulation/rivals.rs"]
mod rivals;
#[path = "../tests/simulation/shop.rs"]
mod shop;
#[path = "../tests/simulation/staff.rs"]
mod staff;
#[path = "../tests/simulation/table.rs"]
mod table;
#[path = "../tests/simulation/world.rs"]
mod world;
#[path = "../tests/simulation/writing.rs"]
mod writing;

use std::hint::black_box;
use std::io::Write;
use std::time::Instant;

use baybook::judge::answer::judge_with;
use baybook::judge::conflict;
use baybook::judge::pattern::Outlook;
use baybook::judge::pattern::split::reckon;

use measure::Measured;
use shop::Shop;
use world::World;

fn main() -> std::io::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let wanted = arguments.next().unwrap_or_else(|| "all".to_owned());
    let mut number = |usual: u64| arguments.next().and_then(|text| text.parse().ok()).unwrap_or(usual);
    let (first, shops) = (number(1), number(5));
    if wanted == "time" {
        return match first {
            1 => [20, 100, 500, 2_500].into_iter().try_for_each(time),
            notes => time(usize::try_from(notes).unwrap_or(100)),
        };
    }
    let worlds = [World::easy(), World::normal(), World::hard()];
    let all = worlds.iter().map(|world| (world.name.to_owned(), world.clone()));
    let small = worlds.iter().map(|world| (format!("{}-small", world.name), world.clone().small()));
    for (name, world) in all.chain(small).filter(|(name, _)| wanted == "all" || *name == wanted) {
        let mut found = Measured::default();
        for seed in first..first + shops {
            found.add(&Shop::new(&world, seed));
        }
        let title = format!("{name}, seeds {first} to {}", first + shops - 1);
        writeln!(std::io::stdout(), "{}", table::of(&title, &found))?;
    }
    Ok(())
}

/// How long support and splits of one point take in buckets of so many notes, the mean over models and vehicles.
fn time(notes: usize) -> std::io::Result<()> {
    let models = 20;
    let shop = Shop::new(&World { models, notes: notes * models, points: 1, asked: 200, ..World::hard() }, 1);
    let outlook = Outlook::default();
    let start = Instant::now();
    for question in &shop.questions {
        black_box(judge_with(&shop.buckets[&question.bucket], &question.vehicle, &outlook));
    }
    let judged = start.elapsed() / u32::try_from(shop.questions.len()).expect("few questions");
    let start = Instant::now();
    for bucket in shop.buckets.values() {
        for conflict in conflict::find(bucket) {
            let layout = conflict::describe(bucket, &conflict);
            black_box(reckon(bucket, &conflict, &layout, &outlook));
        }
    }
    let reckoned = start.elapsed() / u32::try_from(shop.buckets.len()).expect("few buckets");
    writeln!(
        std::io::stdout(),
        "{notes} notes: one vehicle judged in {judged:?}, conflicts laid out in {reckoned:?}"
    )
}
