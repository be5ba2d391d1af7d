//! The parts of `README.txt` that are the same in every bundle. `NAME` stands for the bundle's name.

/// What is here.
pub(super) const CONTENTS: &str = "
  data/closeout-report.pdf   the report; open this first (PDF/A-3a, any PDF reader)
  data/records/              the records as they were written, byte for byte (CSV and TOML are plain
                             text: any editor or spreadsheet opens them); history/ in it holds those of
                             earlier dockings, where there are any
  data/workbook/             only if records were kept in a workbook: the workbook as it was; its
                             sheets stand among the records as CSV files
  data/papers/               photographs and papers as they were
  data/tables/               the same records in SI units, one row a record, and what was worked out
                             from them (recomputed-*.csv); csv-metadata.json describes every column
  data/findings.csv          every comparison of the record with its recomputation
  data/findings.json         the same for programs; data/findings.schema.json describes it
  data/drawings/             the report's drawings (SVG, any web browser)
  data/format.txt            the whole format in words, with units, formulas and examples
  manifest-*.txt             checksums of every file below data/ (SHA-256 and SHA-512)
  tagmanifest-*.txt          checksums of the manifests and of the two small files beside them
  bagit.txt, bag-info.txt    this folder is a BagIt 1.0 bag (RFC 8493)";

/// How to read it.
pub(super) const READING: &str = "\
x is metres forward of the stern reference point (SRP), y metres to port of the centreline.
Station is metres along the dock in the direction of the bow, offset metres to port.
A docking position says where the SRP lay; a block at (station, offset) then bears on the hull
at x = station - srp_station, y = offset - centreline_offset, turned by -yaw about the SRP.
Yaw and skew are anticlockwise seen from above. The last part of a column's name is its unit.
Times are RFC 3339; a time without an offset has the offset that data/records/docking.toml
gives under [period]. In data/tables/ and data/findings.csv an apostrophe stands before a text
that a spreadsheet could take for a formula, such as '=1, and is no part of it (data/format.txt,
chapter 9). In data/records/ every text is as it was written: open the tables in a spreadsheet, or
have it read every column as text. Where a table or the report says otherwise than a record, the
record is what was written down.";

/// How to check it.
pub(super) const CHECKING: &str = "\
Unpack NAME.zip (any zip tool; nothing in it is compressed) and go to the folder NAME, which
holds bagit.txt. Then one of:

GNU/Linux, in a shell:

  sha256sum -c --quiet manifest-sha256.txt && sha512sum -c --quiet manifest-sha512.txt
  sha256sum -c --quiet tagmanifest-sha256.txt

macOS, in a terminal:

  shasum -a 256 -c manifest-sha256.txt
  shasum -a 256 -c tagmanifest-sha256.txt

Windows, in PowerShell; it prints every file that is not as it was, and nothing if all is well:

  'tagmanifest-sha256.txt', 'manifest-sha256.txt' | ForEach-Object {
    Get-Content -Encoding UTF8 $_ | ForEach-Object {
      $digest, $path = $_ -split '  ', 2
      $path = $path -replace '%25', '%'
      $found = (Get-FileHash -Algorithm SHA256 -LiteralPath $path).Hash
      if ($found -ne $digest) { \"changed or missing: $path\" } } }

Anywhere with Python 3.8 or newer: the script check.py below. Copy the lines between the two
rulers into a file and run it in this folder.

In the manifests a per cent sign of a path is written %25. sha256sum and shasum do not know that, and
call a file missing whose name has one; the script and the lines for PowerShell do know it. A file that no manifest lists is not
found by these tools: compare the number of files below data/ with bag-info.txt, where
Payload-Oxum is the number of bytes, a point, and the number of files.

The seal stands for the whole bundle. It was written beside the zip, to NAME-seal.txt, to be
kept on paper elsewhere. It is the SHA-256 of tagmanifest-sha256.txt, in groups of four:

  sha256sum tagmanifest-sha256.txt
";

/// When the zip is damaged.
pub(super) const DAMAGED: &str = "\
With the repair data beside the zip, the files NAME.zip.par2 and NAME.zip.volXXX+YY.par2 in the
open format PAR 2.0, any program for PAR 2.0 says what is damaged and mends it, byte for byte,
as long as the damage is not more than the repair data can make good. Work on a copy:

  par2 verify NAME.zip.par2
  par2 repair NAME.zip.par2

Without them, or with more damage than they make good: every entry stands in the zip as it is,
not compressed, after a small header of its own, so that what is left can be taken out even
where the zip's directory at its end is lost and unzip gives up. With Info-ZIP's zip:

  zip -FF NAME.zip --out mended.zip
  unzip mended.zip

or with the script rescue.py below and Python 3.8 or newer, which needs nothing else. Then go to
the folder NAME and check it as above: the manifests name what is missing or changed.
";

/// What to copy.
pub(super) const COPYING: &str = "\
All that begins with NAME and stands beside the zip, and the zip:

  NAME.zip          all that is here; it holds a second copy of the next file
  NAME-report.pdf   the report, for those who only want to read it
  NAME.zip*.par2    the repair data; keep them beside the zip
  NAME-seal.txt     the seal; print it, and keep the paper away from the bundle
  NAME-seal.sig     the signature, if somebody signed it

An archive that bags what it takes in does well to take the zip as it is for its payload, with all
that stands beside it.

Check the copy against the seal on paper, not against the old medium. Keep at least two copies, in
two places, on two kinds of medium, and check each every year or so: damage that is found early
can be mended from the other copy or the repair data.";
