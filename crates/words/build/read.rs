//! Reads Fluent files into messages of text, variables and choices; anything else Fluent can do is refused.

use fluent_syntax::ast;
use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;
use std::path::{Path, PathBuf};

/// One piece of a message.
#[derive(Clone, Debug)]
pub enum Piece {
    Text(String),
    Variable(String),
    /// `{ $count -> [one] … *[other] … }`, `{ $kind -> [screws_or_links] … *[other] … }`
    Choice {
        variable: String,
        cases: Vec<(String, Vec<Piece>)>,
        other: Vec<Piece>,
    },
}

/// Messages and attributes (`id` or `id.attribute`) by name.
pub type Messages = BTreeMap<String, Vec<Piece>>;

/// Folders beside `en` that hold translations.
pub fn other_languages(root: &Path) -> Result<Vec<PathBuf>, Box<dyn Error>> {
    let mut folders = Vec::new();
    for entry in std::fs::read_dir(root)? {
        let path = entry?.path();
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or("");
        if path.is_dir() && !["en", "src", "build", "tests"].contains(&name) {
            folders.push(path);
        }
    }
    folders.sort();
    Ok(folders)
}

/// All messages of one language.
pub fn language(folder: &Path) -> Result<Messages, Box<dyn Error>> {
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    files.retain(|path| path.extension().is_some_and(|extension| extension == "ftl"));
    files.sort();
    let mut messages = Messages::new();
    for file in files {
        let text = std::fs::read_to_string(&file)?;
        let resource = fluent_syntax::parser::parse(text.as_str())
            .map_err(|(_, errors)| format!("{}: {errors:?}", file.display()))?;
        for entry in resource.body {
            let ast::Entry::Message(message) = entry else { continue };
            let id = message.id.name.to_string();
            if let Some(value) = &message.value {
                add(&mut messages, id.clone(), value, &file)?;
            }
            for attribute in &message.attributes {
                add(&mut messages, format!("{id}.{}", attribute.id.name), &attribute.value, &file)?;
            }
        }
    }
    Ok(messages)
}

fn add(messages: &mut Messages, id: String, pattern: &ast::Pattern<&str>, file: &Path) -> Result<(), Box<dyn Error>> {
    let pieces = pieces(pattern).map_err(|found| format!("{}: {id}: {found}", file.display()))?;
    if messages.insert(id.clone(), pieces).is_some() {
        return Err(format!("{}: {id} is there twice", file.display()).into());
    }
    Ok(())
}

fn pieces(pattern: &ast::Pattern<&str>) -> Result<Vec<Piece>, String> {
    pattern
        .elements
        .iter()
        .map(|element| match element {
            ast::PatternElement::TextElement { value } => Ok(Piece::Text((*value).to_string())),
            ast::PatternElement::Placeable { expression } => placeable(expression),
        })
        .collect()
}

fn placeable(expression: &ast::Expression<&str>) -> Result<Piece, String> {
    match expression {
        ast::Expression::Inline(ast::InlineExpression::VariableReference { id }) => {
            Ok(Piece::Variable(id.name.to_string()))
        }
        ast::Expression::Inline(ast::InlineExpression::StringLiteral { value }) => {
            Ok(Piece::Text((*value).to_string()))
        }
        ast::Expression::Select { selector: ast::InlineExpression::VariableReference { id }, variants } => {
            let (mut cases, mut other) = (Vec::new(), None);
            for variant in variants {
                let ast::VariantKey::Identifier { name: key } = &variant.key else {
                    return Err("a choice goes by words, not by numbers".to_string());
                };
                match (*key, variant.default) {
                    ("other", true) => other = Some(pieces(&variant.value)?),
                    (_, true) => return Err("the default of a choice is [other]".to_string()),
                    (key, false) => cases.push((key.to_string(), pieces(&variant.value)?)),
                }
            }
            let other = other.ok_or_else(|| "a choice needs *[other]".to_string())?;
            Ok(Piece::Choice { variable: id.name.to_string(), cases, other })
        }
        other => Err(format!("only variables and choices are understood, found {other:?}")),
    }
}

/// Names of the variables in a message, each once, in the order in which they are first read: the order of a function's
/// parameters.
pub fn variables(pieces: &[Piece]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    let mut add = |name: &String| {
        if !names.contains(name) {
            names.push(name.clone());
        }
    };
    for piece in pieces {
        match piece {
            Piece::Text(_) => {}
            Piece::Variable(name) => add(name),
            Piece::Choice { variable, cases, other } => {
                add(variable);
                let within = cases.iter().flat_map(|(_, pieces)| variables(pieces));
                within.chain(variables(other)).for_each(|name| add(&name));
            }
        }
    }
    names
}

/// The same without order: two languages may say things in another order.
fn variable_set(pieces: &[Piece]) -> BTreeSet<String> {
    variables(pieces).into_iter().collect()
}

/// What a translation lacks, has too much, or asks for under another name.
pub fn unlike(english: &Messages, other: &Messages, folder: &Path) -> Vec<String> {
    let mut complaints = Vec::new();
    for (id, pieces) in english {
        match other.get(id) {
            None => complaints.push(format!("{}: {id} is missing", folder.display())),
            Some(theirs) if variable_set(theirs) != variable_set(pieces) => {
                complaints.push(format!("{}: {id} has other variables than en", folder.display()));
            }
            Some(_) => {}
        }
    }
    complaints.extend(
        other
            .keys()
            .filter(|id| !english.contains_key(*id))
            .map(|id| format!("{}: {id} is not in en", folder.display())),
    );
    complaints
}
