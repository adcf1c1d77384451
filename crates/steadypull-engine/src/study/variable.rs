//! One uncertain input.

use super::Role;
use crate::chance::Distribution;

/// Inputs whose share in the spread of a result is told as one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// What they are, in words.
    pub words: String,
    /// Places of its variables in the list of all.
    pub members: Vec<usize>,
}

/// One uncertain input.
#[derive(Debug, Clone, PartialEq)]
pub struct Variable {
    /// What it does.
    pub role: Role,
    /// Key in the plan file, or a short name of the model's own.
    pub key: String,
    /// What it is, in words.
    pub words: String,
    /// The group it is told with.
    pub group: String,
    /// What it may be.
    pub distribution: Distribution,
    /// Unit of that, SI; empty for a plain number or a share.
    pub unit: &'static str,
    /// Where the distribution comes from.
    pub source: String,
    /// Whether that is an assumption of this project.
    pub assumed: bool,
}

impl Variable {
    /// The groups of `variables`, in the order in which they are met.
    pub fn groups(variables: &[Self]) -> Vec<Group> {
        let mut found: Vec<Group> = Vec::new();
        for (i, variable) in variables.iter().enumerate() {
            match found.iter_mut().find(|g| g.words == variable.group) {
                Some(group) => group.members.push(i),
                None => found.push(Group {
                    words: variable.group.clone(),
                    members: vec![i],
                }),
            }
        }
        found
    }
}
