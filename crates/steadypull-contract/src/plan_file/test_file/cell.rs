//! `[cell.NAME]`: a load cell and its certificate.

use steadypull_engine::units::Force;

use super::{Day, sha256};
use crate::plan_file::limits;
use crate::plan_file::section::Section;
use crate::plan_file::unit_table::Share;
use crate::plan_file::value::{Fault, Text};

/// Most numbers of a polynomial.
const MOST_TERMS: usize = 8;

/// A load cell.
#[derive(Debug, Clone, PartialEq)]
pub struct CellEntry {
    /// Its name in the file.
    pub name: String,
    /// From what the log reads to load.
    pub law: CellLaw,
    /// What the certificate goes by.
    pub certificate: String,
    /// The certificate itself, where a copy is kept with the test.
    pub certificate_file: Option<CertificateFile>,
    /// Day the certificate falls due.
    pub due: Day,
    /// Greatest load it was calibrated to, N.
    pub range_n: f64,
    /// What the certificate says of its doubt.
    pub uncertainty: CellUncertainty,
}

/// A copy of a certificate.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CertificateFile {
    /// The file.
    pub name: String,
    /// What its bytes must hash to (SHA-256, hexadecimal digits), where that is stated.
    pub sha256: Option<String>,
}

/// From what the log reads, less its zero, to load.
#[derive(Debug, Clone, PartialEq)]
pub enum CellLaw {
    /// The log holds loads already.
    AsLogged,
    /// Load for one unit read, N.
    Gain(f64),
    /// Load as `c0 + c1 r + c2 r² + …`, N.
    Polynomial(Vec<f64>),
}

/// What a certificate says of its doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CellUncertainty {
    /// Expanded uncertainty as a share of the load, and its coverage factor.
    Relative {
        /// Share of the load.
        share: f64,
        /// Coverage factor.
        coverage: f64,
    },
    /// Residual standard deviation of the calibration (ASTM E74), N.
    Residual(f64),
    /// Class of ISO 376.
    Class(Iso376Class),
}

/// Classes of ISO 376.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Iso376Class {
    /// Class 00.
    Class00,
    /// Class 0.5.
    Class05,
    /// Class 1.
    Class1,
    /// Class 2.
    Class2,
}

pub(super) fn cell(name: String, section: &Section) -> Option<CellEntry> {
    let law = law(section);
    let certificate = section.key::<Text>("certificate").need();
    let certificate_file = certificate_file(section);
    let due = section.key::<Day>("due").need();
    let range = section.key::<Force>("range").within(&limits::CELL_RANGE);
    let range = range.need();
    let uncertainty = uncertainty(section);
    Some(CellEntry {
        name,
        law: law?,
        certificate: certificate?.0,
        certificate_file: certificate_file?,
        due: due?,
        range_n: range?.get(),
        uncertainty: uncertainty?,
    })
}

fn certificate_file(section: &Section) -> Option<Option<CertificateFile>> {
    let name = section.key::<Text>("certificate_file").maybe();
    let sha256 = sha256(section, "certificate_sha256");
    match (name?, sha256?) {
        (Some(Text(name)), sha256) => Some(Some(CertificateFile { name, sha256 })),
        (None, None) => Some(None),
        (None, Some(_)) => {
            let fault = Fault::new("is of no file".into());
            let hint = "name the copy of the certificate: certificate_file = \"NAME.pdf\"";
            section.note("certificate_sha256", fault.hinting(hint));
            None
        }
    }
}

fn law(section: &Section) -> Option<CellLaw> {
    let gain = section.key::<Force>("load_per_unit").maybe();
    let terms = section.items::<Force>("polynomial", MOST_TERMS);
    let (gain, terms) = (gain?, terms?);
    let fault = |key, message: &str, hint: &str| {
        section.note(key, Fault::new(message.into()).hinting(hint));
        None
    };
    match (gain, &terms[..]) {
        (Some(_), [_, ..]) => fault(
            "polynomial",
            "and load_per_unit are both given",
            "keep the one that stands on the certificate",
        ),
        (Some(gain), []) if gain.get() == 0.0 => fault(
            "load_per_unit",
            "is nothing",
            "write the load of one unit read",
        ),
        (Some(gain), []) => Some(CellLaw::Gain(gain.get())),
        (None, []) => {
            section.assume(
                "load_per_unit",
                "1 N",
                "the log's recipe gives loads already; give it for a log of volts or counts",
            );
            Some(CellLaw::AsLogged)
        }
        (None, [_]) => fault(
            "polynomial",
            "has one number",
            "write c0, c1, ... as forces: load = c0 + c1 r + c2 r2 of the reading r",
        ),
        (None, terms) => {
            let terms = terms.iter().map(|(_, force)| force.get());
            Some(CellLaw::Polynomial(terms.collect()))
        }
    }
}

fn uncertainty(section: &Section) -> Option<CellUncertainty> {
    let share = section.key::<Share>("uncertainty");
    let share = share.within(&limits::CELL_UNCERTAINTY).maybe();
    let coverage = section.key::<f64>("coverage").within(&limits::COVERAGE);
    let coverage = coverage.maybe();
    let residual = section.key::<Force>("residual");
    let residual = residual.within(&limits::CELL_RESIDUAL).maybe();
    let class = section.key::<Iso376Class>("class").maybe();
    let (share, coverage, residual, class) = (share?, coverage?, residual?, class?);
    match (share, residual, class) {
        (Some(share), None, None) => {
            let coverage = coverage.unwrap_or_else(|| {
                section.assume(
                    "coverage",
                    "2",
                    "usual on certificates (JCGM 100:2008 6.3.3)",
                );
                2.0
            });
            Some(CellUncertainty::Relative {
                share: share.0,
                coverage,
            })
        }
        (None, Some(residual), None) => Some(CellUncertainty::Residual(residual.get())),
        (None, None, Some(class)) => Some(CellUncertainty::Class(class)),
        (None, None, None) => {
            let expected = "uncertainty = \"0.25 %\", residual = \"12 N\" or class = \"0.5\", \
                            from the certificate";
            section.note_missing("uncertainty", expected.into());
            None
        }
        _ => {
            let fault = Fault::new("says how sure the cell is more than once".into());
            let fault = fault.expecting("one of uncertainty, residual and class");
            let name = section.path.clone();
            let message = format!("[{name}] {}", fault.message);
            section.note_whole(section.heading(), Fault { message, ..fault });
            None
        }
    }
}
