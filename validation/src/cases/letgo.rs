//! The recoil of a parted line against closed forms.

use crate::check::checks;

checks! {}
