//! `[casualty.point.NAME]` and `[tug.point.NAME]`: where a line may be made fast.

use steadypull_engine::plan::{PointKind, RecoveryPoint};

use super::defaults;
use super::limits;
use super::section::Section;
use super::value::Fault;

/// Most recovery points on one vehicle.
const MOST_POINTS: usize = 12;

pub(super) fn points(vehicle: &Section) -> Option<Vec<RecoveryPoint>> {
    let read: Vec<_> = vehicle
        .named("point", MOST_POINTS)
        .into_iter()
        .map(|(name, section)| point(name, &section))
        .collect();
    read.into_iter().collect()
}

fn point(name: String, section: &Section) -> Option<RecoveryPoint> {
    let kind = section.key::<PointKind>("kind").need();
    let wll = section.key("wll").within(&limits::POINT_RATING).maybe();
    let mbs = section.key("mbs").within(&limits::POINT_RATING).maybe();
    let torn_off = section.key("torn_off_mass").within(&limits::TORN_OFF_MASS);
    let torn_off_mass = torn_off.or_else(|| {
        let (text, reason) = defaults::torn_off_mass(kind?);
        Some((text.into(), reason.into()))
    });
    let height = section.key("height").within(&limits::POINT_HEIGHT);
    let height = height.or(defaults::POINT_HEIGHT.0, defaults::POINT_HEIGHT.1);
    let offset = section.key("offset").within(&limits::OFFSET);
    let offset = offset.or(defaults::OFFSET.0, defaults::OFFSET.1);
    let forward = section.key("forward").within(&limits::FORWARD).maybe();
    let side_angle = section.key("side_angle").within(&limits::SIDE_ANGLE);
    let side_angle = side_angle.or(defaults::SIDE_ANGLE.0, defaults::SIDE_ANGLE.1);
    section.close();
    let (kind, wll, mbs) = (kind?, wll?, mbs?);
    let claims_rating = matches!(kind, PointKind::Rated | PointKind::ReceiverInsert);
    if claims_rating && wll.is_none() && mbs.is_none() {
        let fault = Fault::new("says it is rated, but no rating is given".into())
            .expecting("wll or mbs, as marked by its maker")
            .hinting("if nobody knows its rating, write kind = \"unrated\"");
        section.note("kind", fault);
        return None;
    }
    if let (Some(w), Some(m)) = (wll, mbs)
        && m <= w
    {
        section.note("mbs", mbs_below_wll());
        return None;
    }
    Some(RecoveryPoint {
        kind,
        wll,
        mbs,
        torn_off_mass: torn_off_mass?,
        height: height?,
        offset: offset?,
        forward: forward?.unwrap_or_else(|| defaults::forward(&name)),
        side_angle: side_angle?,
        name,
    })
}

/// The mistake of a breaking strength that is no more than the working load.
pub(super) fn mbs_below_wll() -> Fault {
    Fault::new("is not above the WLL".into())
        .expecting("a breaking strength (MBS) above the working load limit (WLL)")
        .hinting("are mbs and wll the wrong way round?")
}
