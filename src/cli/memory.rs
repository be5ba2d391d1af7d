//! How much memory a closeout takes, and whether Linux allows that much: a process that runs out of it is ended
//! without a chance to say why. The limits of other systems are not read.

use std::fs;
use std::path::Path;

use rustix::process::{Resource, getrlimit};

use super::page::Page;
use super::print;
use super::say;

/// Memory that a closeout of the sample project takes at its peak, in MiB, measured with 1 to 8 threads (248
/// to 264). Nearly all of it is the typesetter's, so it grows with the pages of the report.
const MEMORY: u64 = 280;
/// Address space in MiB with which it came through with two threads (370; not with 350), and more for each
/// further thread (700 with 8).
const ADDRESSES: u64 = 380;
const ADDRESSES_A_THREAD: u64 = 70;

/// A limit that the system sets, in bytes, and what the sample's closeout needs, in MiB.
struct Limit {
    what: &'static str,
    bytes: u64,
    needed: u64,
}

/// Warns before a closeout begins if it is given less than the sample project takes.
pub fn warn(threads: usize) {
    for Limit { what, bytes, needed } in limits(threads) {
        let needed = needed << 20;
        if bytes >= needed {
            continue;
        }
        let warning = format!(
            "warning: {what} is limited to {}, and a closeout of the sample project needs {}; a longer report \
             needs more. If memory runs out, the system ends the run, nothing is written under its final name, \
             and the next run removes the hidden folder that is left",
            print::bytes(bytes),
            print::bytes(needed)
        );
        say::eprint(&Page::from_text(format_args!("{}\n", print::wrapped(&warning, 0))));
    }
}

fn limits(threads: usize) -> Vec<Limit> {
    let more = ADDRESSES_A_THREAD * (threads as u64).saturating_sub(2);
    let addresses = getrlimit(Resource::As).current.map(|bytes| Limit {
        what: "address space (ulimit -v)",
        bytes,
        needed: ADDRESSES + more,
    });
    let memory = control_group_limit(Path::new("/proc/self/cgroup"), Path::new("/sys/fs/cgroup"));
    let memory = memory.map(|bytes| Limit {
        what: "the memory of the control group",
        bytes,
        needed: MEMORY,
    });
    addresses.into_iter().chain(memory).collect()
}

/// The least that a control group of Linux, or one around it, lets its processes have: version 2, whose line begins
/// with `0::`, and version 1, whose line names the controller (cgroups(7)). `None` where nothing is limited.
fn control_group_limit(groups: &Path, mounted: &Path) -> Option<u64> {
    let groups = fs::read_to_string(groups).ok()?;
    let mut least = None;
    for line in groups.lines() {
        let mut parts = line.splitn(3, ':');
        let (Some(_), Some(controllers), Some(path)) = (parts.next(), parts.next(), parts.next())
        else {
            continue;
        };
        let (at, file) = if controllers.is_empty() {
            (mounted.to_path_buf(), "memory.max")
        } else if controllers.split(',').any(|name| name == "memory") {
            (mounted.join("memory"), "memory.limit_in_bytes")
        } else {
            continue;
        };
        // In a container the path may be that outside it; what is mounted is then the group itself.
        for group in Path::new(path.trim_start_matches('/')).ancestors() {
            let limit = fs::read_to_string(at.join(group).join(file));
            let limit = limit.ok().and_then(|text| text.trim().parse::<u64>().ok());
            least = least.into_iter().chain(limit).min();
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_of_the_groups_around_counts() {
        let room = tempfile::tempdir().expect("a temporary folder");
        let groups = room.path().join("cgroup");
        let write = |file: &str, text: &str| {
            let path = room.path().join(file);
            fs::create_dir_all(path.parent().expect("a folder")).expect("to make it");
            fs::write(path, text).expect("to write it");
        };
        let least = || control_group_limit(&groups, room.path());
        assert_eq!(least(), None);
        fs::write(&groups, "0::/a/b\n").expect("to write it");
        assert_eq!(least(), None);
        write("a/b/memory.max", "max\n");
        assert_eq!(least(), None);
        write("a/memory.max", "5000\n");
        assert_eq!(least(), Some(5000));
        write("a/b/memory.max", "4000\n");
        assert_eq!(least(), Some(4000));
        fs::write(&groups, "9:cpu:/x\n4:hugetlb,memory:/outside\n").expect("to write it");
        assert_eq!(least(), None);
        write("memory/memory.limit_in_bytes", "3000\n");
        assert_eq!(least(), Some(3000));
    }
}
