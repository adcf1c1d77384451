//! The outside of a vehicle, as far as it matters to what flies at it.

use crate::units::{Angle, Energy, Length};

/// Outline of a vehicle seen from the side, its width, and what guards its glass.
///
/// Heights are above the foot of its tyres.
#[derive(Debug, Clone, PartialEq)]
pub struct BodyShape {
    /// Lower edge of the bumper or bar: what is lower passes under.
    pub underside_height: Length,
    /// Front edge of the bonnet.
    pub bonnet_height: Length,
    /// From the front of the vehicle to the windscreen's lower edge.
    pub bonnet_length: Length,
    /// The windscreen's lower edge.
    pub screen_height: Length,
    /// Windscreen above the level.
    pub screen_slope: Angle,
    /// Upper edge of the tailgate: the rear screen's lower edge.
    pub tailgate_height: Length,
    /// Rear screen above the level.
    pub rear_screen_slope: Angle,
    /// The roof.
    pub roof_height: Length,
    /// From nose to tail.
    pub length: Length,
    /// From side to side.
    pub width: Length,
    /// How far the bonnet is raised about its hinge at the windscreen; none for shut.
    pub bonnet_raised: Option<Angle>,
    /// Thickness of the bonnet's sheet.
    pub bonnet_sheet: Length,
    /// What stands before the glass.
    pub screen_guard: Option<ScreenGuard>,
}

/// Which glass a guard covers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Guarded {
    /// The windscreen.
    Windscreen,
    /// The rear screen.
    RearScreen,
    /// Both.
    Both,
}

/// A mesh, bars or plate before the glass.
#[derive(Debug, Clone, PartialEq)]
pub struct ScreenGuard {
    /// What it is.
    pub what: String,
    /// Energy of a striking body that its maker or a test says it holds; none where
    /// nobody has said.
    pub rated_energy: Option<Energy>,
    /// Which glass.
    pub over: Guarded,
}

impl BodyShape {
    /// A wagon, all of it assumed: what the plan reader fills in.
    pub fn wagon() -> Self {
        Self {
            underside_height: Length::new(0.3),
            bonnet_height: Length::new(1.0),
            bonnet_length: Length::new(1.3),
            screen_height: Length::new(1.1),
            screen_slope: Angle::from_deg(45.0),
            tailgate_height: Length::new(1.1),
            rear_screen_slope: Angle::from_deg(75.0),
            roof_height: Length::new(1.9),
            length: Length::new(4.9),
            width: Length::new(1.9),
            bonnet_raised: None,
            bonnet_sheet: Length::from_mm(0.7),
            screen_guard: None,
        }
    }
}
