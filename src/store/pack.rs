//! The drawing that a hand-over pack carries: found in the attachments of its PDF.

use hayro_syntax::object::{Array, Dict, Stream, String as Text};
use hayro_syntax::{DecryptionError, LoadPdfError, Pdf};
use std::panic::{AssertUnwindSafe, catch_unwind};

/// Ending of the attachment's name.
const ENDING: &[u8] = b".hullwire";
/// Nodes of the tree of names that are looked at, at most.
const NODES: usize = 2_000;
/// Largest drawing that is taken out, the same as for a file.
const MOST: usize = super::disk::MAX_BYTES as usize;
/// A packed attachment larger than this cannot be a drawing: text packs to a tenth or less.
const MOST_PACKED: usize = 8 * 1024 * 1024;

/// What would be valid.
const VALID: &str = "valid: a pack that `hullwire sheets` wrote, unchanged";

/// True where a file says that it is a PDF; a little may stand before it.
pub fn is_pdf(bytes: &[u8]) -> bool {
    bytes.get(..bytes.len().min(1024)).is_some_and(|head| head.starts_with(b"%PDF-") || find(head, b"\n%PDF-"))
}

fn find(text: &[u8], what: &[u8]) -> bool {
    text.windows(what.len()).any(|w| w == what)
}

/// The bytes of the attached drawing.
///
/// # Errors
/// Why there is none, and what would be valid.
pub fn attachment(bytes: &[u8]) -> Result<Vec<u8>, String> {
    // The reader is not ours: a fault in it on a damaged file must not end the program.
    catch_unwind(AssertUnwindSafe(|| read(bytes)))
        .unwrap_or_else(|_| Err(format!("it is a damaged PDF: it cannot be taken apart; {VALID}")))
}

fn read(bytes: &[u8]) -> Result<Vec<u8>, String> {
    let pdf = Pdf::new(bytes.to_vec()).map_err(|error| match error {
        LoadPdfError::Decryption(DecryptionError::PasswordProtected) => {
            format!("it is a PDF that is locked with a password: remove the password first; {VALID}")
        }
        LoadPdfError::Decryption(_) => format!("it is an encrypted PDF that cannot be read; {VALID}"),
        LoadPdfError::Invalid => format!("it is a damaged PDF: its table of contents cannot be read; {VALID}"),
    })?;
    let root: Dict<'_> = pdf
        .xref()
        .get(pdf.xref().root_id())
        .ok_or_else(|| format!("it is a damaged PDF: it has no catalogue; {VALID}"))?;
    let mut found = Vec::new();
    let mut others = 0;
    if let Some(tree) = root.get::<Dict<'_>>("Names").and_then(|n| n.get::<Dict<'_>>("EmbeddedFiles")) {
        walk(tree, &mut found, &mut others);
    }
    for file in root.get::<Array<'_>>("AF").into_iter().flat_map(|list| list.iter::<Dict<'_>>().take(NODES)) {
        take(&file, &mut found, &mut others);
    }
    let Some(stream) = found.into_iter().next() else {
        let what = match others {
            0 => "a PDF without an attached drawing".to_owned(),
            1 => "a PDF with 1 attachment, which is no drawing".to_owned(),
            n => format!("a PDF with {n} attachments, none of which is a drawing"),
        };
        return Err(format!("it is {what}; {VALID}"));
    };
    let too_large = || format!("its attached drawing is larger than 64 MB; no drawing of a small vessel is; {VALID}");
    if stream.raw_data().len() > MOST_PACKED {
        return Err(too_large());
    }
    let drawing = stream.decoded().map_err(|_| format!("its attached drawing is damaged; {VALID}"))?;
    if drawing.len() > MOST {
        return Err(too_large());
    }
    Ok(drawing.into_owned())
}

/// Walks the tree of names, breadth first and not further than [`NODES`].
fn walk<'a>(root: Dict<'a>, found: &mut Vec<Stream<'a>>, others: &mut usize) {
    let mut todo = vec![root];
    let mut seen = 0;
    while let Some(node) = todo.pop() {
        seen += 1;
        if seen > NODES {
            return;
        }
        if let Some(kids) = node.get::<Array<'a>>("Kids") {
            todo.extend(kids.iter::<Dict<'a>>().take(NODES));
        }
        if let Some(names) = node.get::<Array<'a>>("Names") {
            // Names and file specifications in turn; the specification has the name too.
            let mut pairs = names.flex_iter();
            for _ in 0..NODES {
                if pairs.next::<Text<'a>>().is_none() {
                    break;
                }
                let Some(file) = pairs.next::<Dict<'a>>() else { break };
                take(&file, found, others);
            }
        }
    }
}

/// Takes the file of a specification where its name is that of a drawing.
fn take<'a>(file: &Dict<'a>, found: &mut Vec<Stream<'a>>, others: &mut usize) {
    let named = |key: &str| file.get::<Text<'a>>(key).is_some_and(|name| ends_like_a_drawing(name.as_bytes()));
    let stream = file.get::<Dict<'a>>("EF").and_then(|ef| ef.get::<Stream<'a>>("F").or_else(|| ef.get("UF")));
    match stream {
        Some(stream) if named("F") || named("UF") => found.push(stream),
        Some(_) => *others += 1,
        None => {}
    }
}

/// True for `….hullwire`, in one or two bytes a character.
fn ends_like_a_drawing(name: &[u8]) -> bool {
    let bare: Vec<u8> = name.iter().copied().filter(|b| *b != 0).collect();
    bare.to_ascii_lowercase().ends_with(ENDING)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_pack_is_told_apart() {
        assert!(is_pdf(b"%PDF-1.7\n"));
        assert!(!is_pdf(b"{\"version\": 1}"));
        for (bytes, word) in [(&b"%PDF-1.7\nnothing"[..], "damaged"), (&b"%PDF-"[..], "damaged")] {
            let error = attachment(bytes).unwrap_err();
            assert!(error.contains(word) && error.contains("valid:"), "{error}");
        }
    }
}
