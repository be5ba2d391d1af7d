"""papers/: the list, the drawn pictures that stand in for photographs, and a letter."""

from collections import namedtuple

import dock
from writing import write_bytes, write_csv, write_text

Paper = namedtuple("Paper", "file kind about taken by caption in_report seen_from", defaults=[""])

PAPERS = [
    Paper("caisson-seated.png", "photograph", "P1", "2031-04-07T10:12", dock.DOCKMASTER,
          "Caisson seated and its tanks flooded; pumping of the dock began eight minutes later.", "yes", "forward"),
    Paper("draft-marks-aft.png", "photograph", "P1", "2031-04-07T10:17", dock.NAVAL_ARCHITECT,
          "After draft marks, starboard side, dock still full and water quiet.", "yes", "starboard"),
    Paper("keel-block-k12.png", "photograph", "K12", "2031-04-07T17:35", dock.BLOCK_FOREMAN,
          "Keel block K12 bearing, seen from starboard. Concrete base, oak middle, fir cap: all the fir blocks are built so.", "yes", "starboard"),
    Paper("bow-clear.png", "photograph", "K63;K64;P1", "2031-04-07T18:20", dock.NAVAL_ARCHITECT,
          "Forefoot in P1: daylight over the caps of K63 and K64. The forefoot does not bear.", "yes", "port"),
    Paper("plug-dp4.png", "photograph", "DP4", "2031-04-07T18:08", dock.BLOCK_FOREMAN,
          "Docking plug DP4 drawn and draining, clear of the cap of the nearest keel block.", "yes", "below"),
    Paper("sc3-grid.png", "photograph", "SC3;BS6", "2031-04-08T13:20", dock.SECOND_ENGINEER,
          "Inlet SC3 with its grid still on. BS6 was left out of the row to give room for this.", "yes", "below;port"),
    Paper("hose-down.png", "photograph", "P1", "2031-04-09T08:15", dock.COATING_INSPECTOR,
          "Fresh-water wash of the bottom, starboard side, working aft from frame 100.", "no", "forward;starboard"),
    Paper("k37-tape.png", "photograph", "K37", "2031-04-16T11:50", dock.BLOCK_FOREMAN,
          "Tape held against K37 from floor to cap: 1350 mm, not the 1530 mm on the block list.", "yes", "starboard"),
    Paper("anode-an17.png", "photograph", "AN17", "2031-04-11T11:44", dock.PLATE_GAUGER,
          "Anode AN17 as taken off, on the spring balance: 12.9 kg. It is of the large pattern, like its neighbours.", "yes", "port"),
    Paper("pails-af4.png", "photograph", "AF4;BS", "2031-04-18T09:50", dock.COATING_INSPECTOR,
          "Antifouling of batch AF4-0408, made 8 April 2030, before it was stirred: no skin, settled a little, no lumps.", "yes"),
    Paper("k23-slipped.png", "photograph", "K23S;K23;P2", "2031-04-22T18:40", dock.DOCKMASTER,
          "K23 as found when the dock was dry in P2: slid 0.40 m aft and turned. The chalk line is where it stood in P1.", "yes", "aft;starboard"),
    Paper("k23-sketch.png", "drawing", "K23;K23S", "2031-04-22T20:15", dock.NAVAL_ARCHITECT,
          "Sketch in plan of K23 on the bottom in both positions. The hatched steel was under the cap both times.", "yes"),
    Paper("in2-bp9.png", "photograph", "IN2;BP9;P2", "2031-04-23T09:30", dock.SECOND_ENGINEER,
          "Inlet IN2 in P2, forward of BP9. Less than the clearance wanted, but a hand and a spanner pass.", "yes", "forward;port"),
    Paper("patch-k30.png", "photograph", "KL;K30;P2", "2031-04-23T11:35", dock.COATING_INSPECTOR,
          "Where K30 stood in P1, blasted and its edges feathered, abaft the same block as it stands in P2. An hour and a half before the first coat.", "yes", "aft;port"),
    Paper("letter-k23.txt", "letter", "K23;K23S", "2031-04-25T16:00", dock.DOCKMASTER,
          "Dockmaster's letter to the society about K23 and the steel left under it.", "no"),
    Paper("afloat.png", "photograph", "P2", "2031-04-29T08:30", dock.ARCHIVIST,
          "Afloat again, ten minutes after she lifted off the blocks, before the caisson was moved.", "yes", "port"),
]

# Papers that say something to the next docking.
FOR_NEXT_TIME = {"letter-k23.txt"}

LETTER = f"""Port Merrin, 25 April 2031

To the committee of the Calder Wren Preservation Society

Keel block K23

When the dock was dried on Tuesday evening we found that K23 had moved.
It was upright at the landing in P1 and the diver passed it by on the
22nd before she touched, in poor water. We think a hauling wire caught
it while she was being brought aft. It had slid 0.40 m aft in the dock
and turned about three degrees.

She sits on it fairly and I will not have it drawn from under her. The
price is a piece of the flat keel near frame 58, rather over 0.3 square
metres, which was under the cap in P1 and is under it again now. It has
had no blasting and no paint at this docking. The rest of what K23 hid
in P1 is open and will be done with the other patches.

Please see that whoever docks her next knows of it. A chalk ring will
not last twenty years.

{dock.DOCKMASTER}
dockmaster
"""


def row(paper):
    return {
        "file": paper.file, "kind": paper.kind, "about": paper.about, "taken_at": dock.without_offset(paper.taken),
        "by": paper.by, "caption": paper.caption, "in_report": paper.in_report,
        "seen_from": paper.seen_from,
        "for_next_time": "yes" if paper.file in FOR_NEXT_TIME else "",
    }


def draw_pictures():
    try:
        import pictures
        import pictures_paint
    except ImportError:
        print("Pillow is not installed: pictures left as they are")
        return
    drawings = pictures.DRAWINGS | pictures_paint.DRAWINGS
    for paper in PAPERS:
        if paper.file.endswith(".png"):
            write_bytes("papers/" + paper.file, drawings[paper.file.removesuffix(".png")]().png())


def make():
    columns = ["file", "kind", "about", "taken_at", "by", "caption", "in_report", "seen_from", "for_next_time"]
    write_csv("papers/papers.csv", columns, [row(paper) for paper in PAPERS])
    write_text("papers/letter-k23.txt", LETTER)
    draw_pictures()
