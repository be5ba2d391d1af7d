//! Several runs at once that write to one folder.

use std::fs;
use std::process::{Child, Stdio};

use crate::common::run;
use crate::kills::{in_staging_dirs, send, wait_until};
use crate::work::{CLOSEOUT, Laid, REPLACED, STARTED, files};

fn begun(place: &Laid<'_>) -> Child {
    let mut command = place.command();
    command.stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("the program")
}

fn ended(child: Child) -> (i32, String) {
    let output = child.wait_with_output().expect("its end");
    let err = String::from_utf8(output.stderr).expect("UTF-8");
    (output.status.code().expect("a status"), err)
}

#[test]
fn closeouts_of_one_project_at_once_all_come_through() {
    let place = Laid::new(&CLOSEOUT);
    let children: Vec<Child> = (0..4).map(|_| begun(&place)).collect();
    for child in children {
        let (status, err) = ended(child);
        assert_eq!(status, CLOSEOUT.undisturbed().status, "{err}");
    }
    assert!(place.is_sound("four at once") && place.staging_dirs().is_empty());
}

/// A run that is held still is not taken for one that was killed, however many others come and go.
#[test]
fn a_run_that_only_waits_keeps_its_workplace() {
    let place = Laid::new(&CLOSEOUT);
    let mut waiting = begun(&place);
    assert!(wait_until(&mut waiting, || in_staging_dirs(&place).iter().any(|size| *size > 0)));
    send("STOP", &waiting);
    run(&mut place.command()).exits(CLOSEOUT.undisturbed().status);
    assert_eq!(place.staging_dirs().len(), 1);
    send("CONT", &waiting);
    let (status, err) = ended(waiting);
    assert_eq!(status, CLOSEOUT.undisturbed().status, "{err}");
    assert!(place.is_sound("after it was held still") && place.staging_dirs().is_empty());
}

/// Two dockings of one name: one of them is written whole, and the other is refused as a whole.
#[test]
fn of_two_that_differ_one_is_written_and_the_other_refused() {
    let (older, newer) = (&CLOSEOUT.undisturbed().after, &REPLACED.undisturbed().after);
    for _ in 0..3 {
        let (one, other) = (Laid::new(&CLOSEOUT), Laid::new(&REPLACED));
        let mut children = Vec::new();
        for place in [&one, &other] {
            let mut command = crate::common::program();
            command.arg("closeout").arg(place.path("in/project"));
            command.arg("--out").arg(one.path("out"));
            command.stdout(Stdio::null()).stderr(Stdio::piped());
            children.push(command.spawn().expect("the program"));
        }
        let mut ends: Vec<(i32, String)> = children.into_iter().map(ended).collect();
        ends.sort();
        let refused = ends.iter().filter(|(status, _)| *status == 1).count();
        assert_eq!(refused, 1, "{ends:?}");
        assert!(ends.iter().any(|(_, err)| err.contains("is there already and differs")));
        let found = files(&one.path("out"));
        assert!(found == *older || found == *newer, "a mixture: {:?}", found.keys());
    }
}

#[test]
fn two_that_start_one_folder_at_once() {
    let place = Laid::new(&STARTED);
    let (one, other) = (begun(&place), begun(&place));
    let mut statuses = [ended(one), ended(other)];
    statuses.sort();
    assert_eq!(statuses[0].0, 0);
    if statuses[1].0 == 0 {
        panic!("both think that they wrote it");
    }
    assert!(place.is_sound("two at once") && place.staging_dirs().is_empty());
    fs::remove_dir_all(place.path("out/new")).expect("to remove it");
    place.comes_right("two at once");
}
