//! Two dockings of the Fenwhin, in 2011 and in 2031.

use std::fs;
use std::path::PathBuf;

use tempfile::TempDir;

use crate::common::{Said, program, run, temporary};

/// Two projects side by side.
pub struct Two {
    folder: TempDir,
}

impl Two {
    /// The two as they are meant to be.
    pub fn new() -> Self {
        let two = Self { folder: temporary() };
        for (path, text) in OLDER {
            two.write("older", path, text);
        }
        for (path, text) in NEWER {
            two.write("newer", path, text);
        }
        two
    }

    /// A path beside them.
    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// Writes a file of one of them.
    pub fn write(&self, which: &str, path: &str, text: &str) {
        let at = self.path(which).join(path);
        fs::create_dir_all(at.parent().expect("a folder")).expect("to make it");
        fs::write(at, text).expect("to write it");
    }

    /// Replaces the only place where `old` stands in a file.
    #[track_caller]
    pub fn edit(&self, which: &str, path: &str, old: &str, new: &str) {
        let text = fs::read_to_string(self.path(which).join(path)).expect("a file");
        assert_eq!(text.matches(old).count(), 1, "{old:?} must stand once in {path}");
        self.write(which, path, &text.replace(old, new));
    }

    /// Compares the two in this order, with more arguments.
    pub fn compare(&self, first: &str, second: &str, more: &[&str]) -> Said {
        let mut command = program();
        command.arg("compare").arg(self.path(first)).arg(self.path(second)).args(more);
        run(&mut command)
    }

    /// The comparison as JSON.
    pub fn json(&self) -> serde_json::Value {
        self.compare("older", "newer", &["--json"]).exits(0).json()
    }
}

/// One position. Caps lie at x 1 to 3 m and 5 to 7 m, and half a metre either side.
const OLDER: &[(&str, &str)] = &[
    (
        "docking.toml",
        r#"format = 1
[ship]
name = "Fenwhin"
owner = "Friends of the Fenwhin"
length_overall_m = 30.6
breadth_m = 6.0
foremost_x_m = 30.6
[dock]
name = "Quernholt Old Dock"
[period]
began = 2011-04-06
ended = 2011-04-20
offset = "+01:00"
[closeout]
prepared_by = "A. Person"
prepared_on = 2011-05-02
bundle_name = "fenwhin-2011"
"#,
    ),
    (
        "plan/blocks.csv",
        "block,row,station_m,offset_m,length_m,width_m\n\
         1,keel,12,0,2,1\n\
         2,keel,16,0,2,1\n",
    ),
    (
        "plan/bottom.csv",
        "part,order,x_m,y_m\nbottom,1,0,-3\nbottom,2,30,-3\nbottom,3,30,3\nbottom,4,0,3\n",
    ),
    (
        "plan/openings.csv",
        "opening,kind,x_m,y_m,length_mm,width_mm,diameter_mm,side,state\n\
         SC1,sea-chest,12.00,1.50,800,600,,port,\n\
         DP1,docking-plug,9.00,0.90,,,60,starboard,\n\
         DP2,docking-plug,9.00,-0.90,,,60,starboard,\n\
         X1,overboard,15.00,2.00,,,100,port,\n\
         OB9,overboard,5.00,-1.00,,,100,starboard,\"blanked, to be plated over\"\n",
    ),
    (
        "positions/positions.csv",
        "position,recorded_srp_station_m,recorded_offset_m,yaw_deg\nP1,10,0,0\n",
    ),
    ("landing/gaps.csv", "position,block,gap_mm,water_depth_m\nP1,1,3,\nP1,1,9,2.5\nP1,2,0,\n"),
    (
        "hull/plating.csv",
        "strake,plate,x_m,y_m,original_mm,measured_mm,relative_loss_limit_pct,least_thickness_mm,at\n\
         A,1,12.0,1.0,12,11.1,20,,2011-04-10T10:00:00\n\
         A,2,15.0,1.0,12,11.5,20,,2011-04-10T10:05:00\n\
         A,3,18.0,1.0,12,11.0,20,,2011-04-10T10:10:00\n\
         A,4,21.0,1.0,12,10.0,20,,2011-04-10T10:15:00\n\
         B,1,12.0,2.5,10,9.0,,8.5,2011-04-10T10:20:00\n\
         C,1,12.0,-1,10,9.0,,8.5,2011-04-10T10:20:00\n",
    ),
    ("coating/zones.csv", "zone,kind,order,x_m,y_m,true_area_m2\nBT,bottom,,,,\nSD,side,,,,80\n"),
    (
        "coating/products.toml",
        "[[product]]\nproduct = \"CR1\"\ngeneric_type = \"chlorinated rubber\"\n",
    ),
    (
        "coating/scheme.csv",
        "zone,coat,product,nominal_dft_um\nBT,1,CR1,80\nBT,2,CR1,80\nSD,1,CR1,\n",
    ),
    (
        "coating/film.csv",
        "zone,after_coat,spot,reading_um\nBT,1,1,70\nBT,2,1,150\nBT,2,2,170\nBT,2,3,190\n",
    ),
];

/// Two positions, half a metre apart: the caps of 1 lie at x 2.0 to 3.0 m, then 2.5 to 3.5 m, those of K2 at
/// 9.5 to 10.5 m, then 10 to 11 m.
const NEWER: &[(&str, &str)] = &[
    (
        "docking.toml",
        r#"format = 1
[ship]
name = "FENWHIN"
owner = "Quernholt Museum"
length_overall_m = 30.604
breadth_m = 6.0
foremost_x_m = 30.9
built = "1911, at Quernholt"
[dock]
name = "Quernholt Old Dock"
[period]
began = 2031-04-07
ended = 2031-04-29
offset = "+01:00"
[closeout]
prepared_by = "A. Person"
prepared_on = 2031-05-16
bundle_name = "fenwhin-2031"
"#,
    ),
    (
        "plan/blocks.csv",
        "block,row,station_m,offset_m,length_m,width_m\n\
         1,keel,12.5,0,1,1\n\
         K2,keel,20,0,1,1\n",
    ),
    (
        "plan/bottom.csv",
        "part,order,x_m,y_m\nbottom,1,0,-3\nbottom,2,30,-3\nbottom,3,30,3\nbottom,4,0,3\n",
    ),
    (
        "plan/openings.csv",
        "opening,kind,x_m,y_m,length_mm,width_mm,diameter_mm,side,state\n\
         SC1,sea-chest,12.30,1.50,800,600,,port,\n\
         DP1,docking-plug,9.00,0.90,,,80,port,\n\
         DP2,docking-plug,9.05,-0.90,,,60,starboard,\n\
         Y1,overboard,15.00,2.00,,,100,port,\n\
         OB10,overboard,20.00,1.00,,,100,port,\n",
    ),
    (
        "positions/positions.csv",
        "position,recorded_srp_station_m,recorded_offset_m,yaw_deg\nP1,10,0,0\nP2,9.5,0,0\n",
    ),
    ("landing/gaps.csv", "position,block,gap_mm,water_depth_m\nP1,1,5,\nP1,K2,2,\nP2,1,7,\n"),
    (
        "hull/plating.csv",
        "strake,plate,x_m,y_m,original_mm,measured_mm,relative_loss_limit_pct,least_thickness_mm,at\n\
         A,1,12.3,1.4,12,10.1,20,,2031-04-10T10:00:00\n\
         A,2,15.0,1.0,12,11.5,20,,2031-04-10T10:05:00\n\
         A,3,18.0,1.0,14,13.8,20,,2031-04-10T10:10:00\n\
         A,4,21.0,1.0,12,10.5,20,,2031-04-10T10:15:00\n\
         A,5,24.0,1.0,12,9.7,20,,2031-04-10T10:15:00\n\
         B,1,12.0,2.5,10,8.0,,8.5,2031-04-10T10:20:00\n",
    ),
    ("coating/zones.csv", "zone,kind,order,x_m,y_m,true_area_m2\nBT,bottom,,,,\nRD,side,,,,2\n"),
    (
        "coating/products.toml",
        "[[product]]\nproduct = \"EP1\"\ngeneric_type = \"epoxy\"\nnominal_dft_um = 125\n",
    ),
    ("coating/scheme.csv", "zone,coat,product,nominal_dft_um\nBT,1,EP1,\nBT,2,EP1,100\n"),
    ("coating/film.csv", "zone,after_coat,spot,reading_um\nBT,1,1,120\nBT,1,2,140\n"),
];
