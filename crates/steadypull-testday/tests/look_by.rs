//! A log looked at by a recipe that somebody made of the guess.

mod common;

use common::Folder;
use steadypull_testday::{look_at, look_by};

#[test]
fn a_changed_recipe_shows_what_it_changes() {
    let folder = Folder::demo();
    let guess = look_at("dry-1.csv", &folder).unwrap();
    let changed = guess.recipe.replace("unit = \"kN\"", "unit = \"lbf\"");
    assert_ne!(changed, guess.recipe);
    let by = look_by("dry-1.csv", Some(&changed), &folder).unwrap();
    assert_eq!(by.recipe, changed);
    assert_eq!(by.choices, guess.choices, "the reasons stay the guess's");
    assert_eq!(by.samples, guess.samples);
    // A pound-force is 4.448 221 615 260 5 N, exact (NIST SP 811).
    let ratio = by.channels[0].greatest.unwrap() / guess.channels[0].greatest.unwrap();
    assert!((ratio - 4.448_221_615_260_5e-3).abs() < 1e-12, "{ratio}");
    let (was, is) = (&guess.preview[1].cells[1], &by.preview[1].cells[1]);
    assert_eq!(was.raw, is.raw);
    assert!((is.value.unwrap() / was.value.unwrap() - ratio).abs() < 1e-12);
}

#[test]
fn a_recipe_that_does_not_fit_says_why() {
    let folder = Folder::demo();
    let guess = look_at("dry-1.csv", &folder).unwrap();
    let moved = guess
        .recipe
        .replace("header = \"Load (kN)\"", "header = \"Pull (kN)\"");
    let by = look_by("dry-1.csv", Some(&moved), &folder).unwrap();
    assert!(
        by.unreadable
            .unwrap()
            .contains("other words stand over the column")
    );
    assert_eq!((by.samples, by.preview.len()), (0, 0));
    let broken = look_by("dry-1.csv", Some("[layout\n"), &folder).unwrap_err();
    assert!(broken.to_string().contains("line 1"), "{broken}");
}
