//! The two vehicles, what the casualty sits in, and the tug's winch.

use super::body::BodyShape;
use super::kit::Line;
use super::winch_plate::WinchPlate;
use crate::units::{Angle, Area, Duration, Force, Length, Mass, Power, Pressure, Speed};

/// Which wheels the engine can turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DrivenWheels {
    /// All four.
    All,
    /// The front axle alone.
    Front,
    /// The rear axle alone.
    Rear,
    /// None: the engine or driveline is out.
    None,
}

/// What both vehicles have.
#[derive(Debug, Clone, PartialEq)]
pub struct Vehicle {
    /// What people call it.
    pub name: String,
    /// Mass as it stands, load and people included.
    pub mass: Mass,
    /// Greatest mass its maker allows (GVM); the strap rule is about this.
    pub gross_mass: Mass,
    /// Wheels driven.
    pub driven: DrivenWheels,
    /// Tyre pressure now.
    pub tyre_pressure: Pressure,
    /// Tyre pressure for the road.
    pub road_tyre_pressure: Pressure,
    /// Where a line may be made fast.
    pub recovery_points: Vec<RecoveryPoint>,
    /// Its outside.
    pub shape: BodyShape,
}

/// What a point on a vehicle really is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PointKind {
    /// A rated recovery point bolted to the chassis.
    Rated,
    /// A receiver with a rated shackle insert.
    ReceiverInsert,
    /// An open receiver, a shackle or the strap held by the cross pin.
    OpenReceiver,
    /// A tow ball.
    TowBall,
    /// A tie-down or shipping eye.
    TieDownEye,
    /// A factory towing eye: proven for half the vehicle's mass, no more.
    TowingEye,
    /// Something else with no rating.
    Unrated,
}

/// A point where a line may be made fast.
#[derive(Debug, Clone, PartialEq)]
pub struct RecoveryPoint {
    /// Its name in the plan.
    pub name: String,
    /// What it is.
    pub kind: PointKind,
    /// Working load limit, where the maker states one.
    pub wll: Option<Force>,
    /// Breaking strength, where the maker states one.
    pub mbs: Option<Force>,
    /// Mass that flies with the line if it tears off.
    pub torn_off_mass: Mass,
    /// Height above the ground.
    pub height: Length,
    /// Distance left (+) or right (−) of the vehicle's centre line.
    pub offset: Length,
    /// Distance forward (+) or back (−) of the vehicle's middle; for rigs laid
    /// out on the ground.
    pub forward: Length,
    /// Angle between the point's strong direction and the pull.
    pub side_angle: Angle,
}

/// How deep the casualty sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sunk {
    /// Depth of the mire at the wheels, from the surface to the tyre's foot.
    pub depth: Length,
    /// Height of the hub above the tyre's foot: class `wheel`.
    pub hub_height: Length,
    /// Height of the guard: class `guard`.
    pub guard_height: Length,
    /// Height of the body or cab floor above which it counts as `body`.
    pub body_height: Length,
}

/// What the casualty sits in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Soil {
    /// Clay: sticks.
    Clay,
    /// Wet silt: sticks.
    Silt,
    /// Bog or marsh.
    Bog,
    /// Shallow mud on a firm bottom.
    Mud,
    /// Soft dry sand.
    SoftSand,
    /// Soft wet sand.
    WetSand,
    /// Snow.
    Snow,
    /// Firm ground; the vehicle is held by something else.
    Firm,
}

/// The surface under a tyre, for grip and rolling.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surface {
    /// Dry sealed road.
    DryRoad,
    /// Wet sealed road.
    WetRoad,
    /// Gravel.
    Gravel,
    /// Dry earth.
    DryEarth,
    /// Wet earth.
    WetEarth,
    /// Grass.
    Grass,
    /// Firm damp sand.
    FirmSand,
    /// Soft dry sand.
    SoftSand,
    /// Mud.
    Mud,
    /// Packed snow.
    Snow,
    /// Ice.
    Ice,
}

/// Something that holds the casualty besides the ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Hold {
    /// What it is: `rock`, `log`, `stump` …
    pub what: String,
    /// The force that overcomes it; `None` means it does not yield and the
    /// casualty is a fixed end until it is cleared.
    pub yields_at: Option<Force>,
}

/// The stuck vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct Casualty {
    /// What it shares with any vehicle.
    pub vehicle: Vehicle,
    /// How deep it sits, if it does.
    pub sunk: Option<Sunk>,
    /// What it sits in.
    pub soil: Soil,
    /// How long it has sat there (suction grows with it).
    pub stuck_for: Duration,
    /// Buried area that sticks, if measured; else estimated from the depth.
    pub contact_area: Option<Area>,
    /// Slope along the pull; positive when the pull goes uphill.
    pub slope_along: Angle,
    /// Slope across the pull, without sign.
    pub slope_across: Angle,
    /// Something that holds it.
    pub held_by: Option<Hold>,
    /// Wheels that cannot turn, 0 to 4.
    pub locked_wheels: u8,
    /// Whether its own engine will help.
    pub own_drive: bool,
    /// Whether it is pulled back along the way it went in.
    pub back_along_tracks: bool,
    /// Whether it lies on its side or roof.
    pub overturned: bool,
    /// How far it must move to be free.
    pub free_after: Length,
}

/// The recovering vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct Tug {
    /// What it shares with any vehicle.
    pub vehicle: Vehicle,
    /// Ground under its tyres.
    pub surface: Surface,
    /// Peak coefficient of grip there, median; `grip_spread` is its 1-sigma of ln.
    pub grip: f64,
    /// Spread of the grip, 1-sigma of the logarithm.
    pub grip_spread: f64,
    /// Rolling resistance coefficient there.
    pub rolling: f64,
    /// Slope along its pull; positive when it drives uphill as it pulls.
    pub slope_along: Angle,
    /// Engine power at the wheels.
    pub power: Power,
    /// Greatest drive force in the lowest gear.
    pub max_drive: Force,
    /// Whether the driver keeps the drive on when the line comes taut.
    pub holds_drive: bool,
    /// Its winch, if it has one.
    pub winch: Option<Winch>,
}

/// What drives a winch.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WinchDrive {
    /// A battery-fed electric motor.
    Electric,
    /// A hydraulic motor.
    Hydraulic,
    /// A lever moved by hand.
    Hand,
}

/// A winch with its line.
#[derive(Debug, Clone, PartialEq)]
pub struct Winch {
    /// What drives it.
    pub drive: WinchDrive,
    /// Rated line pull on the first layer.
    pub rated_pull: Force,
    /// Drum layer in use, from 1.
    pub layer: u8,
    /// Drum (barrel) diameter.
    pub drum_diameter: Length,
    /// Width of the drum between flanges.
    pub drum_width: Length,
    /// Name in the kit of the line on it.
    pub line: String,
    /// Line speed at no load.
    pub line_speed: Speed,
    /// Height above the ground.
    pub height: Length,
    /// Distance forward (+) or back (−) of the vehicle's middle.
    pub forward: Length,
    /// Mass that flies with the line if its mount tears off.
    pub mount_mass: Mass,
    /// Breaking strength of the mount, where stated.
    pub mount_mbs: Option<Force>,
    /// Diameter across the flanges, where stated: how much line the drum holds.
    pub flange_diameter: Option<Length>,
    /// Diameter of the line, where measured; else from its mass and material.
    pub line_diameter: Option<Length>,
    /// Wraps wound beside each other over those that would just fit (the drum
    /// capacity factor K of SAE J706), 0 to 1.
    pub packing: f64,
    /// Wraps that stay on the drum whatever happens.
    pub least_wraps: u8,
    /// Line paid out when the haul begins.
    pub paid_out: Length,
    /// Its data-plate.
    pub plate: WinchPlate,
    /// The preset that the plate was filled in from, if any.
    pub preset: Option<String>,
}

impl Winch {
    /// Diameter of `line` on this drum.
    pub fn diameter_of(&self, line: &Line) -> Length {
        self.line_diameter
            .unwrap_or_else(|| line.material.diameter(line.mass_per_length))
    }
}
