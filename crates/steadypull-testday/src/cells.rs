//! The cells that took pulls, and the copies of their certificates that are kept with the test.

use steadypull_contract::answer::{CellUsed, KeptCertificate};
use steadypull_contract::plan_file::{CellEntry, CertificateFile, PullEntry, TestFile};
use steadypull_contract::sha256_read;

use crate::files::{Files, unfetched};
use crate::trouble::Trouble;

/// The cells that some pulls name, each once; every certificate that cannot be read is told.
pub(crate) struct Cells(Vec<CellUsed>);

impl Cells {
    /// Of `pulls`, their certificates fetched and held against the hashes that are stated.
    pub fn of(
        test: &TestFile,
        pulls: &[&PullEntry],
        files: &dyn Files,
    ) -> Result<Self, Vec<Trouble>> {
        let named = |cell: &&CellEntry| {
            let by = |pull: &&PullEntry| pull.cell.as_deref() == Some(&cell.name);
            pulls.iter().any(by)
        };
        let (mut used, mut troubles) = (Vec::new(), Vec::new());
        for cell in test.cells.iter().filter(named) {
            match cell_used(cell, test, files) {
                Ok(cell) => used.push(cell),
                Err(trouble) => troubles.push(trouble),
            }
        }
        match troubles.is_empty() {
            true => Ok(Self(used)),
            false => Err(troubles),
        }
    }

    /// The cell that took a pull, if the test file names one.
    pub fn of_pull(&self, pull: &PullEntry) -> Option<CellUsed> {
        let name = pull.cell.as_deref()?;
        self.0.iter().find(|cell| cell.name == name).cloned()
    }
}

fn cell_used(cell: &CellEntry, test: &TestFile, files: &dyn Files) -> Result<CellUsed, Trouble> {
    let kept = cell.certificate_file.as_ref();
    let kept = kept.map(|file| kept_certificate(cell, file, files));
    Ok(CellUsed {
        name: cell.name.clone(),
        certificate: cell.certificate.clone(),
        certificate_file: kept.transpose()?,
        due: cell.due.to_string(),
        overdue: test.date > cell.due,
        range_n: cell.range_n,
    })
}

fn kept_certificate(
    cell: &CellEntry,
    file: &CertificateFile,
    files: &dyn Files,
) -> Result<KeptCertificate, Trouble> {
    let trouble = |why: String, hint: String| Trouble::new(&file.name[..], why).hinting(hint);
    let whose = format!("[cell.{}]", cell.name);
    let unread = |why| {
        let hint = format!(
            "{whose} names it as the copy of its certificate: put it beside the test file, or take certificate_file out"
        );
        trouble(why, hint)
    };
    let mut opened = files.open(&file.name).map_err(unread)?;
    let hashed = sha256_read(&mut opened);
    let (sha256, bytes) = hashed.map_err(|error| unread(unfetched(&error)))?;
    if bytes == 0 {
        return Err(unread("is empty, and no certificate".into()));
    }
    match file.sha256.as_ref().filter(|stated| **stated != sha256) {
        Some(stated) => Err(trouble(
            format!("hashes to {sha256}, and {whose} states {stated}"),
            format!(
                "this is not the copy that was kept: find that one, or check this against {} and state its hash",
                cell.certificate
            ),
        )),
        None => Ok(KeptCertificate {
            file: file.name.clone(),
            sha256,
            checked: file.sha256.is_some(),
            bytes,
        }),
    }
}
