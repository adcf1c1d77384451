//! The kinetic pull against closed forms.

use crate::check::checks;

checks! {}
