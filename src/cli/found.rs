//! What the survey of a subject came to: findings, those accepted, those that hold until a removal, cautions.

use super::Status;
use super::subject::Subject;
use crate::network::Solution;
use crate::survey::{self, Caution, Finding, Judged, Survey};
use crate::units::Severity;

/// Everything that an answer says of the survey.
#[derive(Debug)]
pub struct Found {
    /// As the rules reported it.
    pub survey: Survey,
    /// Open and accepted.
    pub judged: Judged,
    /// What is wrong until what is to be removed is gone.
    pub until_removed: Vec<Finding>,
    /// The standing cautions.
    pub cautions: Vec<Caution>,
}

impl Found {
    /// Surveys a solved subject.
    pub fn of(subject: &Subject, solution: &Solution) -> Self {
        let installation = &subject.installation;
        let found = survey::run(installation, solution);
        Self {
            judged: survey::judge(installation, &found),
            until_removed: survey::until_removed(installation, subject.condition, &found),
            cautions: survey::cautions(installation),
            survey: found,
        }
    }

    /// The exit status: what is accepted does not set it.
    pub fn status(&self) -> Status {
        if self.judged.worst().is_some_and(|s| s >= Severity::Warning) { Status::Findings } else { Status::Clear }
    }

    /// How many open findings of each severity, worst first.
    pub fn counts(&self) -> Vec<(Severity, usize)> {
        Severity::ALL.iter().map(|&s| (s, self.judged.count(s))).collect()
    }
}
