//! The same project gives the same bytes on another day: Debian's `faketime` moves the clock.

use std::fs;

use crate::common::{closed, files, program, sample, temporary};
use crate::judge::{content, on_path};

#[test]
#[ignore = "needs faketime, see tests/outside/README.md"]
fn a_closeout_on_another_day_gives_the_same_bytes() {
    for day in ["1999-12-31 23:59:58", "2035-02-03 04:05:06"] {
        let shown = content(on_path("faketime").arg(day).args(["date", "+%Y"]));
        assert_eq!(shown.out.trim(), &day[..4], "faketime moves the clock");
        let out = temporary();
        let mut command = on_path("faketime");
        command.arg(day).arg(program().get_program()).arg("closeout").arg(sample());
        content(command.arg("--out").arg(out.path()));
        for (name, bytes) in files(out.path()) {
            let first = closed().zip.with_file_name(&name);
            assert!(fs::read(first).is_ok_and(|first| first == bytes), "{name} differs on {day}");
        }
        assert_eq!(files(out.path()).len(), 9);
    }
}
