//! todo
use crate::BriefError;
use steadypull_contract::answer::Answer;
use steadypull_contract::show::Units;
/// todo
pub fn html(_answer: &Answer, _units: Units, _made_on: &str) -> Result<String, BriefError> {
    Ok(String::new())
}
