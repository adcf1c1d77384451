//! A log taken into a test file, and what is kept on the shelf.

mod common;

use std::cell::Cell;

use common::Folder;
use steadypull_contract::operation::TakeUpRequest;
use steadypull_contract::plan_file::read_tests;
use steadypull_testday::{
    Drawing, Files, Place, Shelf, TakeUpError, compare, fit, levels, levels_at_hand, look_at, read,
    take_up,
};

/// A folder with a shelf beside it, that counts how often a log is fetched.
struct Kept<'s> {
    folder: &'s Folder,
    shelf: &'s Shelf,
    fetched: Cell<u32>,
}

impl<'s> Kept<'s> {
    fn new(folder: &'s Folder, shelf: &'s Shelf) -> Self {
        Self {
            folder,
            shelf,
            fetched: Cell::new(0),
        }
    }
}

impl Files for Kept<'_> {
    fn read(&self, name: &str) -> Result<Vec<u8>, String> {
        let logs = u32::from(name.ends_with(".csv"));
        self.fetched.set(self.fetched.get() + logs);
        self.folder.read(name)
    }

    fn place(&self, name: &str) -> Option<Place<'_>> {
        let bytes = self.folder.0.get(name)?;
        Some(Place {
            shelf: self.shelf,
            identity: format!("{name} {}", bytes.len()),
        })
    }
}

fn request(file: &str, recipe: String) -> TakeUpRequest {
    TakeUpRequest {
        file: file.into(),
        recipe,
        force: None,
        displacement: Some("Apart".into()),
        cell: Some("yard".into()),
        setup: None,
        revision: String::new(),
    }
}

#[test]
fn answers_are_the_same_with_a_shelf_of_any_size() {
    let folder = Folder::demo();
    let test = folder.tests();
    // Large enough, too small for all, too small for one.
    for most in [1 << 30, 300_000, 1000] {
        let shelf = Shelf::new(most);
        let kept = Kept::new(&folder, &shelf);
        for _ in 0..2 {
            assert_eq!(read(&test, None, &kept), read(&test, None, &folder));
            assert!(shelf.bytes() <= most, "{} of {most}", shelf.bytes());
        }
        assert_eq!(fit(&test, &kept), fit(&test, &folder));
        assert_eq!(compare(&test, &kept), compare(&test, &folder));
    }
}

#[test]
fn a_log_is_read_once_whatever_is_asked_of_it() {
    let folder = Folder::demo();
    let shelf = Shelf::new(1 << 30);
    let kept = Kept::new(&folder, &shelf);
    let drawing = Drawing {
        pull: "dry-1",
        from_s: None,
        to_s: None,
        parts: 50,
    };
    let test = folder.tests();
    assert!(
        levels_at_hand(&test, drawing, &kept).is_none(),
        "not made yet"
    );
    look_at("dry-1.csv", &kept).unwrap();
    let looked = kept.fetched.get();
    read(&test, Some("dry-1"), &kept).unwrap();
    // The guess is this recipe but for what it leaves to be said; the log may be read anew.
    let once = kept.fetched.get();
    assert!(once <= looked + 1);
    let drawn = levels_at_hand(&test, drawing, &kept)
        .expect("at hand")
        .unwrap();
    assert_eq!(drawn, levels(&test, drawing, &folder).unwrap());
    // Another event, another pull of the log, another hash: of the same record.
    let by_hand = "log = \"dry-1.csv\"\nevents = { taut = \"1.42 s\", uncertainty = \"5 ms\" }";
    let moved = folder.tests_with("log = \"dry-1.csv\"", by_hand);
    let of_hand = read(&moved, Some("dry-1"), &kept).unwrap();
    assert_eq!(of_hand, read(&moved, Some("dry-1"), &folder).unwrap());
    assert_eq!(kept.fetched.get(), once);
    // Cleaned in another way, of the same log.
    let filtered = folder.tests_with("cfc = 60", "cfc = 60\nzero = \"as-logged\"");
    let of_clean = read(&filtered, Some("dry-1"), &kept).unwrap();
    assert_eq!(of_clean, read(&filtered, Some("dry-1"), &folder).unwrap());
    assert_eq!(kept.fetched.get(), once);
    // A hash that is another's is refused, also of what is kept.
    let other = format!("log = \"dry-1.csv\"\nsha256 = \"{}\"", "0".repeat(64));
    let other = folder.tests_with("log = \"dry-1.csv\"", &other);
    assert!(read(&other, Some("dry-1"), &kept).is_err());
    assert!(levels_at_hand(&other, drawing, &kept).is_none());
}

#[test]
fn a_log_taken_up_stands_in_the_test_file_as_by_hand() {
    let folder = Folder::demo();
    let text = folder.text("tests.toml");
    let table = text.find("[pull.dry-1]").unwrap();
    let next = text.find("[pull.wet-1]").unwrap();
    let without = format!("{}{}", &text[..table], &text[next..]);
    let without = without.replace("\"dry-1\", ", "");
    let asked = request("dry-1.csv", folder.text("logger.toml"));
    let taken = take_up(&without, &asked, &folder).unwrap();
    assert_eq!(taken.recipe, None, "the one at the top says the same");
    let test = read_tests(&taken.text).unwrap();
    let pull = test.pull("dry-1").expect("named after its log");
    assert_eq!((&pull.recipe[..], pull.which), ("logger.toml", Some(1)));
    let ours = read(&test, Some("dry-1"), &folder).unwrap();
    let theirs = read(&folder.tests(), Some("dry-1"), &folder).unwrap();
    assert!(ours.pulls[0].log.checked);
    // But for the set-up and the uncertainty of the stretch, which nobody said.
    assert_eq!(
        ours.pulls[0].readings.peak_n,
        theirs.pulls[0].readings.peak_n
    );
    assert_eq!(ours.pulls[0].events, theirs.pulls[0].events);
    // Everything else of the text stays.
    for line in without.lines() {
        assert!(taken.text.contains(line), "{line}");
    }
    let again = take_up(&taken.text, &asked, &folder);
    assert!(matches!(again, Err(TakeUpError::Log(_))), "{again:?}");
}

#[test]
fn names_and_recipes_that_are_taken_get_a_number() {
    let mut folder = Folder::demo();
    let log = folder.0["dry-1.csv"].clone();
    folder.0.insert("Dry 1 (x).csv".into(), log);
    folder
        .0
        .insert("Dry 1 (x).recipe.toml".into(), b"another".to_vec());
    let recipe = folder
        .text("logger.toml")
        .replace("name = \"Load\"", "name = \"Force\"");
    let text = folder.text("tests.toml") + "[pull.Dry-1--x-]\nlog = \"wet-9.csv\"\n";
    let asked = request("Dry 1 (x).csv", recipe.clone());
    let taken = take_up(&text, &asked, &folder).unwrap();
    let new = taken.recipe.expect("another recipe");
    assert_eq!(
        (&new.name[..], &new.text),
        ("Dry 1 (x).recipe-2.toml", &recipe)
    );
    let test = read_tests(&taken.text).unwrap();
    assert!(test.pull("Dry-1--x--2").is_some(), "{}", taken.text);
}
