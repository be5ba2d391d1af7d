//! People, papers, remarks, earlier dockings, and the tables of `docking.toml`.

use super::{Case, at, rows};

pub const CASES: &[Case] = &[
    Case::new("people", "docking.toml", |was, count| {
        rows(was, count, |n| format!("\n[[people]]\nname = \"Person {n}\"\nrole = \"hand\"\n"))
    }).up_to(480),
    Case::new("stretches of frames", "docking.toml", |was, count| {
        rows(was, count, |n| {
            format!("[[frames]]\nfrom_frame = {}\nx_m = {}\nspacing_mm = 600\n", 200 + n, 127.0 + 0.6 * n as f64)
        })
    }).up_to(190),
    Case::new("rules of film for zones", "docking.toml", |was, count| {
        rows(was, count, |n| format!("[[film_for_zone]]\nzone = \"N{n}\"\nrule = \"90-10\"\n"))
    }).up_to(90)
    .beside(&[("coating/zones.csv", |was, count| {
        rows(was, count, |n| format!("N{n},side,,,,100,1.0"))
    })]),
    Case::refused("limits that are not known", "docking.toml", |was, count| {
        rows(was, count, |n| format!("[limits.n{n}]\nvalue = 1\nunit = \"m\"\n"))
    }),
    Case::new("papers that are listed", "papers/papers.csv", |was, count| {
        rows(was, count, |n| {
            format!("n{n}.txt,letter,K23,{},Maud Tresilby,A letter.,no,,", at(20 * n))
        })
    }),
    Case::new("things that a paper is about", "papers/papers.csv", |was, count| {
        let all: Vec<String> = (0..count).map(|n| format!("N{n}")).collect();
        let (all, at) = (all.join(";"), at(20));
        rows(was, 1, |_| format!("n.txt,letter,{all},{at},Maud Tresilby,A letter.,no,,"))
    })
    .beside(&[("hull/anodes.csv", |was, count| {
        rows(was, count, |n| format!("N{n},30.0,0.3,10.1,9.0,no,{},Lettice Vornham,", at(20 * n)))
    })]),
    Case::new("remarks on nothing", "remarks.toml", |was, count| {
        rows(was, count, |n| remark(&format!("\"plan.block.N{n}.height\"")))
    }),
    Case::refused("remarks on one finding", "remarks.toml", |was, count| {
        rows(was, count, |_| remark("\"plan.block.K1.height\""))
    }),
    Case::new("remarks with patterns", "remarks.toml", |was, count| {
        rows(was, count, |n| remark(&format!("\"plan.block.K{}*.height\"", n % 60)))
    }),
    Case::new("remarks on openings", "remarks.toml", |was, count| {
        rows(was, count, |n| remark(&format!("\"plan.opening.N{n}.side\"")))
    })
    .beside(&[("plan/openings.csv", |was, count| {
        rows(was, count, |n| {
            format!(
                "N{n},overboard,{:.3},2.0,,120,80,,starboard,,,SV,2031-04-08T08:40:00,Bettany Skaive,\
                 2031-04-18T15:20:00,Ivo Pellwright,hose test,coated,",
                10.0 + 0.04 * n as f64
            )
        })
    })]),
    Case::new("findings of one remark", "remarks.toml", |was, count| {
        let all: Vec<String> = (0..count).map(|n| format!("\"plan.block.N{n}.height\"")).collect();
        rows(was, 1, |_| remark(&format!("[{}]", all.join(", "))))
    }),
    Case::refused("earlier dockings", "history/dockings.csv", |_, count| {
        rows("docking,bundle,seal,fixity,damage\n", count, |n| format!("N{n},n{n}.zip,,whole,"))
    }).up_to(100),
];

fn remark(finding: &str) -> String {
    format!(
        "\n[[remark]]\nfinding = {finding}\nanswer = \"Seen.\"\nby = \"Maud Tresilby\"\non = 2031-05-09\n"
    )
}
