//! What the typesetter can see: the templates, the fonts, and the files of one report. No disk, no
//! network, no clock.

use std::collections::BTreeMap;

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Feature, Library, LibraryExt, World};

use super::error::ReportError;
use super::fonts::FONTS;

/// The templates, by name.
pub(super) const TEMPLATES: &[(&str, &str)] = &[
    ("report.typ", include_str!("../../templates/report.typ")),
    ("style.typ", include_str!("../../templates/style.typ")),
    ("cover.typ", include_str!("../../templates/cover.typ")),
    ("tables.typ", include_str!("../../templates/tables.typ")),
    ("page.typ", include_str!("../../templates/page.typ")),
    ("seal.typ", include_str!("../../templates/seal.typ")),
    ("compare.typ", include_str!("../../templates/compare.typ")),
    ("forms/sheets.typ", include_str!("../../templates/forms/sheets.typ")),
    ("forms/briefing.typ", include_str!("../../templates/forms/briefing.typ")),
    ("forms/planning.typ", include_str!("../../templates/forms/planning.typ")),
    ("forms/poster.typ", include_str!("../../templates/forms/poster.typ")),
];

/// The world of one report.
pub(super) struct ReportWorld {
    library: LazyHash<Library>,
    main: FileId,
    sources: BTreeMap<&'static str, Source>,
    files: BTreeMap<String, Bytes>,
}

impl ReportWorld {
    /// A world with the templates, one of which is the document, and these files.
    pub fn new(main: &str, files: BTreeMap<String, Bytes>) -> Result<Self, ReportError> {
        let mut sources = BTreeMap::new();
        for (name, text) in TEMPLATES {
            sources.insert(*name, Source::new(id(name)?, (*text).to_string()));
        }
        // Header cells of rows and summaries of tables, for those who listen to the pages.
        let features = [Feature::A11yExtras].into_iter().collect();
        let library = LazyHash::new(Library::builder().with_features(features).build());
        Ok(Self { library, main: id(main)?, sources, files })
    }
}

fn id(name: &str) -> Result<FileId, ReportError> {
    let path = VirtualPath::new(name)
        .map_err(|error| ReportError::ours(format!("{name} is no path: {error}.")))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

fn absent(id: FileId) -> FileError {
    FileError::NotFound(id.vpath().get_without_slash().into())
}

impl World for ReportWorld {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &FONTS.book
    }

    fn main(&self) -> FileId {
        self.main
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        let found = self.sources.get(id.vpath().get_without_slash());
        found.filter(|_| *id.root() == VirtualRoot::Project).cloned().ok_or_else(|| absent(id))
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let found = self.files.get(id.vpath().get_without_slash());
        found.filter(|_| *id.root() == VirtualRoot::Project).cloned().ok_or_else(|| absent(id))
    }

    fn font(&self, index: usize) -> Option<Font> {
        FONTS.all.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}

#[cfg(test)]
mod tests {
    use typst::syntax::{SyntaxKind, SyntaxNode, parse};

    use super::TEMPLATES;

    /// The semicolons that the typesetter takes for the end of an expression, with what stands around them.
    fn swallowed(node: &SyntaxNode, found: &mut Vec<String>) {
        let children: Vec<&SyntaxNode> = node.children().collect();
        for (n, child) in children.iter().enumerate() {
            if node.kind() == SyntaxKind::Markup && child.kind() == SyntaxKind::Semicolon {
                let around = &children[n.saturating_sub(2)..(n + 3).min(children.len())];
                found.push(around.iter().map(|node| node.full_text().to_string()).collect());
            }
            swallowed(child, found);
        }
    }

    /// In running text a semicolon behind an expression ends it, and is not printed.
    #[test]
    fn no_template_loses_a_semicolon() {
        let mut found = Vec::new();
        swallowed(&parse("#name; and so on"), &mut found);
        assert_eq!(found, ["#name; and so on"]);
        for (name, text) in TEMPLATES {
            let mut found = Vec::new();
            swallowed(&parse(text), &mut found);
            assert!(found.is_empty(), "{name}: {found:?}");
        }
    }
}
