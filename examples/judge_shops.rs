//! Prints how well the judgement does on simulated shops: `judge_shops WORLD FIRST-SEED SHOPS`, where `WORLD` is
//! `easy`, `normal`, `hard`, one of these with `-small`, or `all`.

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

use std::io::Write;

use measure::Measured;
use shop::Shop;
use world::World;

fn main() -> std::io::Result<()> {
    let mut arguments = std::env::args().skip(1);
    let wanted = arguments.next().unwrap_or_else(|| "all".to_owned());
    let mut number = |usual: u64| arguments.next().and_then(|text| text.parse().ok()).unwrap_or(usual);
    let (first, shops) = (number(1), number(5));
    let few = |w: World| {
        if std::env::var("PTS").is_ok() {
            World { points: std::env::var("PTS").unwrap().parse().unwrap(), ..w }
        } else {
            w
        }
    };
    let worlds = [World::easy(), World::normal(), World::hard()].map(few);
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
