//! The parts of `README.txt` that are the same in every bundle. `NAME` stands for the bundle's name.

/// What is here.
pub(super) const CONTENTS: &str = "
  data/start-here.html       the record as one page for any web browser: look at the ship, ask what
                             lay where, check this bundle; it asks for nothing from anywhere
  data/closeout-report.pdf   the report, to be read and printed (PDF/A-3a, any PDF reader)
  data/closeout-summary.pdf  its first pages alone, to be handed out
  data/closeout-tables/      the tables and all findings set for paper, if they were asked for
  data/records/              the records as they were written, byte for byte (CSV and TOML are plain
                             text: any editor or spreadsheet opens them); history/ holds those of
                             earlier dockings, if there are any
  data/workbook/             only if records were kept in workbooks: each as it was; their sheets are
                             also among the records as CSV files
  data/papers/               photographs and papers as they were
  data/tables/               the same records in SI units, one row for each, and what was calculated
                             from them (recomputed-*.csv); csv-metadata.json describes every column
                             and says which hold calculated values
  data/findings.csv          every comparison of the record with its recomputation
  data/findings.json         the same for programs; data/findings.schema.json describes it
  data/drawings/             the report's drawings (SVG, any web browser)
  data/format.txt            the whole format in words, with units, formulas and examples
  data/ro-crate-metadata.json
                             all of these files described for programs and archives (RO-Crate 1.2)
  manifest-*.txt             checksums of every file below data/ (SHA-256 and SHA-512)
  tagmanifest-*.txt          checksums of the manifests and of the two small files beside them
  bagit.txt, bag-info.txt    this folder is a BagIt 1.0 bag (RFC 8493)";

/// How to read it.
pub(super) const READING: &str = "\
x is metres forward of the stern reference point (SRP), y metres to port of the centreline.
Station is metres along the dock in the direction of the bow, offset metres to port.
A docking position gives the place of the SRP; a block at (station, offset) then bears on the hull
at x = station - srp_station, y = offset - centreline_offset, turned by -yaw about the SRP.
Yaw and skew are anticlockwise seen from above. The last part of a column's name is its unit.
Times are RFC 3339; a time without an offset has the offset that data/records/docking.toml
gives under [period]. In data/tables/ and data/findings.csv an apostrophe is put before a text
that a spreadsheet could take for a formula, such as '=1, and is not part of it (data/format.txt,
chapter 9). In data/records/ every text is as it was written: in a spreadsheet, open the files of
data/tables/ instead, or have every column read as text, in UTF-8. Tables with letters outside ASCII
begin with a byte order mark, so that common spreadsheets show them rightly; records never got one.
Where a table or the report differs from a record, the record is what was written down.";

/// How to check it.
pub(super) const CHECKING_IN_BROWSER: &str = "\
With a web browser alone: open the page data/start-here.html and give it NAME.zip or the folder
NAME. It can't prove itself: it says how to check it with the system's own command.

";

/// How to check it with the tools of the system.
pub(super) const CHECKING: &str = "\
Without it: unpack NAME.zip (any zip tool; nothing in it is compressed) and go to the folder NAME, which
holds bagit.txt. Then one of:

GNU/Linux, in a shell:

  sha256sum -c --quiet manifest-sha256.txt && sha512sum -c --quiet manifest-sha512.txt
  sha256sum -c --quiet tagmanifest-sha256.txt

macOS, in a terminal:

  shasum -a 256 -c manifest-sha256.txt
  shasum -a 256 -c tagmanifest-sha256.txt

Windows, in PowerShell; it prints every listed file that is changed or missing, or else nothing:

  'tagmanifest-sha256.txt', 'manifest-sha256.txt' | ForEach-Object {
    Get-Content -Encoding UTF8 $_ | ForEach-Object {
      $digest, $path = $_ -split '  ', 2
      $path = $path -replace '%25', '%'
      $found = (Get-FileHash -Algorithm SHA256 -LiteralPath $path).Hash
      if ($found -ne $digest) { \"changed or missing: $path\" } } }

Anywhere with Python 3.8 or newer: the script check.py below. Copy the lines between the two
rulers into a file and run it in this folder.

In the manifests a per cent sign in a path is written %25. sha256sum and shasum do not know that,
and report a file with such a name as missing; the script and the lines for PowerShell handle it.
These tools do not notice a file that no manifest lists: compare the number of files below data/
with bag-info.txt, where Payload-Oxum is the number of bytes, a point, and the number of files.

";

/// The seal of a bundle, and how it is computed.
pub(super) const SEALED: &str = "\
The seal identifies the whole bundle. It was written to NAME-seal.pdf beside the zip, a page to be
printed and kept elsewhere, and to NAME-seal.txt. It is the SHA-256 of tagmanifest-sha256.txt, in
groups of four; capitals and spaces don't matter. On Windows (in PowerShell, or at the command
prompt), macOS and GNU/Linux:

  Get-FileHash -Algorithm SHA256 tagmanifest-sha256.txt
  certutil -hashfile tagmanifest-sha256.txt SHA256
  shasum -a 256 tagmanifest-sha256.txt
  sha256sum tagmanifest-sha256.txt
";

/// When the zip is damaged.
pub(super) const DAMAGED: &str = "\
With the repair data beside the zip, the files NAME.zip.par2 and NAME.zip.volXXX+YY.par2 in the
open format PAR 2.0, any program for PAR 2.0 shows what is damaged and repairs it, byte for byte,
unless more is damaged than the repair data can restore. Work on a copy:

  par2 verify NAME.zip.par2
  par2 repair NAME.zip.par2

How much may be lost: as many of the zip's blocks as there are repair blocks, the YY in the name; a
tenth unless another share was asked for. A zip of up to 16 MiB is cut into blocks of 1 KiB, and a
place that is damaged costs each block that it touches: of 8 MB, 200 places of 1 KiB cost 400 of
8000 blocks at most, and the 800 repair blocks mend them. Keep a copy of the repair data on another
medium than the zip, so that what damages one spares the other. The list of the blocks' checksums is
long and stands in the repair data several times: lastdock mend puts it together from what is left of
all copies, while other programs may need one copy of it undamaged.

";

/// Where else the files of a bundle are.
pub(super) const OTHER_PLACES: &str = "\
Other places hold the same files: the report and the page stand beside the zip as well as in it, the
report has the records attached, and a folder that the zip was unpacked to has everything. What the
manifest lists can be taken from there, file by file, where its SHA-256 is the one listed. The program
that wrote this does so, and mends the rest from the repair data:

  lastdock mend NAME.zip --also NAME-report.pdf --also FOLDER

";

/// Without repair data.
pub(super) const RESCUED: &str = "\
Without repair data, or with more damage than they can restore: every file is in the zip as it is, not
compressed, after a small header of its own. What is left can therefore be extracted even if the
zip's directory at its end is lost and unzip gives up. With Info-ZIP's zip:

  zip -FF NAME.zip --out mended.zip
  unzip mended.zip

or with the script rescue.py below, which needs only Python 3.8 or newer. Then go to the folder
NAME and check it as above: the check names the listed files that are missing or changed.
";

/// What to copy.
pub(super) const COPYING: &str = "\
The zip, and every file beside it whose name holds NAME:

  READ-ME-FIRST-NAME.txt  what these files are, for whoever finds them
  NAME.zip                everything here; it also contains the report
  NAME-start-here.html    the page for a web browser again
  NAME-report.pdf         the report again, for those who only want to read it
  NAME-summary.pdf        its first pages again
  NAME-tables-N.pdf       the tables set for paper again, if they were asked for
  NAME.zip*.par2          the repair data; keep them beside the zip
  NAME-seal.pdf           the seal; print it, and keep the paper away from the bundle
  NAME-seal.txt           the seal as text
  NAME-seal.sig           the signature, if somebody signed it

The bundle itself is never changed. What came to light later (an error, a survey, a repair) may have
been sealed in supplements: zips of their own, each with a text to be read first, whose bag-info.txt
names what it follows by its seal. Look for them where the bundle is kept, and copy them with it.

An archive that makes bags of its own should take the zip and the files beside it as they are, as
the payload of its bag.

Check the copy against the seal on paper, not against the old medium. Keep at least two copies, in
two places, on two kinds of medium, and check each every year or so: damage that is found early
can be mended from the other copy or the repair data.";
