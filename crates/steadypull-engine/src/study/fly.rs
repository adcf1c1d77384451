//! Let-gos of many draws, run side by side in lanes.

use super::flights::{Launch, let_go_draw};
use super::{Drawn, Flown, Levels, Model, Role, Row};
use crate::letgo::drawn::LetGoDraw;
use crate::letgo::run_each;
use crate::units::Force;

impl Model<'_> {
    /// What could fly in a draw: the item drawn, and one of the part that lets go.
    fn items_of(&self, levels: &Levels, drawn: &Drawn) -> [Option<usize>; 2] {
        let count = self.items.len();
        if count == 0 || drawn.failed_pull || drawn.peak_n <= 0.0 {
            return [None, None];
        }
        let level = levels.of(Role::WhichItem);
        let pick = |of: usize| ((level * of as f64) as usize).min(of - 1);
        let gone = drawn.first.and_then(|part| {
            let own = self.flights.of_part(&self.parts[part]);
            let here = |i: &usize| self.items[*i].is_some_and(|at| own.contains(&at));
            let of_it: Vec<usize> = (0..count).filter(here).collect();
            (!of_it.is_empty()).then(|| of_it[pick(of_it.len())])
        });
        [Some(pick(count)), gone]
    }
}

/// A let-go run: of which draw, into which of its places, and what it is of.
struct Run {
    into: Vec<(usize, usize)>,
    row: usize,
    item: usize,
    draw: LetGoDraw,
    setup: crate::letgo::Setup,
}

/// Adds what flies to `drawn`.
pub(super) fn fly(rows: &[Row], mut drawn: Vec<Drawn>) -> Vec<Drawn> {
    let mut runs: Vec<Run> = Vec::new();
    // Run of each draw's places, for the draws that are like it.
    let mut of: Vec<[Option<usize>; 2]> = Vec::with_capacity(rows.len());
    for (i, row) in rows.iter().enumerate() {
        let levels = row.model.levels(row);
        let items = row.model.items_of(&levels, &drawn[i]);
        let pull = Force::new(drawn[i].peak_n);
        let draw = let_go_draw(&levels, pull, row.model.stretch(&levels));
        let mut mine = [None, None];
        for (place, item) in items.into_iter().enumerate() {
            let Some(item) = item else { continue };
            let Some(own) = row.model.items[item] else {
                continue;
            };
            match row.model.flights.launch(own, &draw) {
                None => {}
                Some(Launch::Known(flown)) => put(&mut drawn[i], place, Flown { item, ..flown }),
                Some(Launch::Run(setup)) => {
                    let earlier = [row.like.map(|k| of[k]), Some(mine)];
                    let same = earlier
                        .into_iter()
                        .flatten()
                        .flatten()
                        .flatten()
                        .find(|r| runs[*r].item == item && runs[*r].setup == *setup);
                    let run = same.unwrap_or(runs.len());
                    mine[place] = Some(run);
                    match same {
                        Some(run) => runs[run].into.push((i, place)),
                        None => runs.push(Run {
                            into: vec![(i, place)],
                            row: i,
                            item,
                            draw,
                            setup: *setup,
                        }),
                    }
                }
            }
        }
        of.push(mine);
    }
    run_each(
        0..runs.len(),
        |r| runs[r].setup.clone(),
        |r, outcome| {
            let run = &runs[r];
            let item = run.item;
            for &(i, place) in &run.into {
                let model = rows[run.row].model;
                match (&outcome, model.items[item]) {
                    (Ok(outcome), Some(own)) => {
                        let flown = model.flights.flown(model.plan, own, &run.draw, outcome);
                        put(&mut drawn[i], place, Flown { item, ..flown });
                    }
                    _ => drawn[i].failed_flights += 1,
                }
            }
        },
    );
    drawn
}

fn put(drawn: &mut Drawn, place: usize, flown: Flown) {
    match place {
        0 => drawn.if_one_goes = Some(flown),
        _ => drawn.goes = Some(flown),
    }
}
