//! What the operating system refuses, in the installer's words.
//!
//! Given an error of the system; gives what is wrong and what to do about it. The system's own words are kept only where
//! there is nothing better to say, and never without a cure.

use std::io::{Error, ErrorKind};

/// What is wrong, and the cure.
pub type Refused = (String, String);

/// Why a file or a folder cannot be read.
pub fn reading(error: &Error) -> Refused {
    let (fault, cure) = match error.kind() {
        ErrorKind::NotFound => ("it is not there", "check its name, and that its disk is connected"),
        ErrorKind::PermissionDenied => {
            ("there is no permission to read it", "let yourself read it, or ask its owner to")
        }
        ErrorKind::IsADirectory => ("it is a folder, not a file", "name the file in it"),
        ErrorKind::NotADirectory => ("a file stands where a folder is needed", "check the names of its folders"),
        ErrorKind::InvalidFilename => {
            ("its name is too long for this system", "shorten its name or those of its folders")
        }
        _ => return other(error),
    };
    (fault.to_owned(), cure.to_owned())
}

/// Why a file or a folder cannot be written; `elsewhere` is how another folder is named: `with --out`.
pub fn writing(error: &Error, elsewhere: &str) -> Refused {
    let (fault, cure) = match error.kind() {
        ErrorKind::PermissionDenied => ("no permission", "choose another folder"),
        ErrorKind::ReadOnlyFilesystem => ("nothing can be written to this disk", "choose another folder"),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            ("the disk is full", "make room on it, or choose another folder")
        }
        ErrorKind::FileTooLarge => ("it is larger than this system lets a file be", "choose a folder on another disk"),
        ErrorKind::NotADirectory | ErrorKind::AlreadyExists => {
            ("a file stands where a folder is needed", "choose another")
        }
        ErrorKind::IsADirectory => ("a folder stands where a file is needed", "take it away, or choose another"),
        ErrorKind::NotFound => ("no folder can be made there", "choose another"),
        ErrorKind::InvalidFilename => ("the name is too long for this disk", "choose a shorter one"),
        ErrorKind::ResourceBusy | ErrorKind::ExecutableFileBusy => {
            return ("another program holds it".to_owned(), "close it there, then run this again".to_owned());
        }
        ErrorKind::WouldBlock => {
            let cure = "wait until it is done, then run this again".to_owned();
            return ("another run of this program is writing there".to_owned(), cure);
        }
        _ => return other(error),
    };
    (fault.to_owned(), format!("{cure} {elsewhere}"))
}

/// Why what is printed does not arrive.
pub fn printing(error: &Error) -> Refused {
    let (fault, _) = writing(error, "");
    (fault, "send it somewhere else, and run this again".to_owned())
}

fn other(error: &Error) -> Refused {
    let cure = match error.kind() {
        ErrorKind::TimedOut | ErrorKind::StaleNetworkFileHandle => {
            "connect the network drive again, then run this again"
        }
        _ => {
            "check the disk and its folders, then run this again; should it say the same, ask whoever looks after this computer"
        }
    };
    (format!("the system says “{error}”"), cure.to_owned())
}
