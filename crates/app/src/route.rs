//! Where a person is: one enum, spelled as `#/job/<id>/<part>`.

/// A place in the app.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Route {
    /// The jobs on this phone.
    Jobs,
    /// A new job.
    Start,
    /// Files that could not be opened, kept as they came.
    Inbox,
    /// The arithmetic without a job.
    Calculator,
    /// This phone: name, light or dark, storage, cautions.
    Phone,
    /// One job.
    Job(String, Part),
}

/// A part of a job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// What it is, how far it is, and the way to its parts.
    Overview,
    /// What is stamped on the equipment, beside the record.
    Plates,
    /// The step that is due.
    Steps,
    /// One named step.
    Step(String),
    /// Volts, amps and angles, as found or as left.
    Readings(Taken),
    /// Registers of both meters.
    Reads,
    /// Seals found and left.
    Seals,
    /// The close-out sheet.
    Sheet,
    /// Every entry, with corrections.
    Log,
}

/// When phasor readings are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Taken {
    /// Before anything is touched.
    AsFound,
    /// After everything is restored.
    AsLeft,
}

impl Taken {
    /// The code in the job log.
    pub fn code(self) -> &'static str {
        match self {
            Taken::AsFound => "as_found",
            Taken::AsLeft => "as_left",
        }
    }
}

impl Route {
    /// Reads the part after `#`; anything unknown is the list of jobs.
    pub fn read(hash: &str) -> Route {
        let path = hash.trim_start_matches('#').trim_matches('/');
        let parts: Vec<&str> = path.split('/').collect();
        match parts.as_slice() {
            ["start"] => Route::Start,
            ["inbox"] => Route::Inbox,
            ["calculator"] => Route::Calculator,
            ["phone"] => Route::Phone,
            ["job", id, rest @ ..] if !id.is_empty() => Route::Job((*id).to_string(), Part::read(rest)),
            _ => Route::Jobs,
        }
    }

    /// The link to this place.
    pub fn href(&self) -> String {
        match self {
            Route::Jobs => "#/".into(),
            Route::Start => "#/start".into(),
            Route::Inbox => "#/inbox".into(),
            Route::Calculator => "#/calculator".into(),
            Route::Phone => "#/phone".into(),
            Route::Job(id, part) => format!("#/job/{id}{}", part.path()),
        }
    }
}

impl Part {
    fn read(path: &[&str]) -> Part {
        match path {
            ["plates"] => Part::Plates,
            ["steps"] => Part::Steps,
            ["steps", step] => Part::Step((*step).to_string()),
            ["readings"] | ["readings", "as_found"] => Part::Readings(Taken::AsFound),
            ["readings", "as_left"] => Part::Readings(Taken::AsLeft),
            ["reads"] => Part::Reads,
            ["seals"] => Part::Seals,
            ["sheet"] => Part::Sheet,
            ["log"] => Part::Log,
            _ => Part::Overview,
        }
    }

    fn path(&self) -> String {
        match self {
            Part::Overview => String::new(),
            Part::Plates => "/plates".into(),
            Part::Steps => "/steps".into(),
            Part::Step(step) => format!("/steps/{step}"),
            Part::Readings(taken) => format!("/readings/{}", taken.code()),
            Part::Reads => "/reads".into(),
            Part::Seals => "/seals".into(),
            Part::Sheet => "/sheet".into(),
            Part::Log => "/log".into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_place_is_found_again_by_its_link() {
        let job = |part| Route::Job("abc234".into(), part);
        for route in [
            Route::Jobs,
            Route::Start,
            Route::Inbox,
            Route::Calculator,
            Route::Phone,
            job(Part::Overview),
            job(Part::Plates),
            job(Part::Steps),
            job(Part::Step("arrive".into())),
            job(Part::Readings(Taken::AsFound)),
            job(Part::Readings(Taken::AsLeft)),
            job(Part::Reads),
            job(Part::Seals),
            job(Part::Sheet),
            job(Part::Log),
        ] {
            assert_eq!(Route::read(&route.href()), route, "{}", route.href());
        }
    }

    #[test]
    fn nonsense_leads_to_the_jobs() {
        for hash in ["", "#", "#/", "#/nowhere", "#/job", "#/job/", "//", "#/job//steps"] {
            assert_eq!(Route::read(hash), Route::Jobs, "{hash}");
        }
    }
}
