//! todo
use crate::BriefError;
use steadypull_contract::answer::Answer;
use steadypull_contract::show::Units;
/// todo
pub fn pdf(_answer: &Answer, _units: Units, _made_on: &str) -> Result<Vec<u8>, BriefError> {
    Ok(Vec::new())
}
