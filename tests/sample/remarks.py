"""remarks.toml: the answers to what differs, is beyond a limit or was not recorded; one for each fault left in."""

import json

import dock
from writing import write_text

REMARKS = [
    ("exposure.never_exposed", dock.NAVAL_ARCHITECT, "2031-05-09",
     "K23 slid in the shift and hid part of its own P1 footprint again. Not drawn: she was bearing on it. The patch on the flat keel "
     "near frame 58 had no blasting and no paint this docking. See letter-k23.txt. Next time leave K23 out, or shift her so that it is open."),
    ("openings.IN2.P2.clearance", dock.CHIEF_ENGINEER, "2031-05-07",
     "Accepted. The rose had been off and back in P1, with room to spare; in P2 nothing had to be done there but the paint. "
     "BP9 should stand 0.15 m further aft next time."),
    ("plan.opening.OB7.side", dock.SECOND_ENGINEER, "2031-05-07",
     "OB7 is on the port side; seen again on board 7 May. The register was copied from the old one, which has it wrong. Valve tag is right."),
    ("openings.SC4.closed", dock.CHIEF_ENGINEER, "2031-05-08",
     "I closed SC4 on 17 April and remember hosing it, but nobody wrote it down. Watched from inside at both floodings, dry."),
    ("plan.block.K37.height", dock.BLOCK_FOREMAN, "2031-05-06",
     "Figures changed over in the block list: 1350, not 1530. Taped 16 April, see k37-tape.png. The level is good."),
    ("positions.P2.sighting.M5", dock.NAVAL_ARCHITECT, "2031-05-09",
     "M5 in P2 was read by lamp from the cope with the tape sagging. The other marks agree well without it. Left as written."),
    # The landing. Ids to be made the program's own.
    ("landing.P1.before-landing.marks.forward", dock.NAVAL_ARCHITECT, "2031-05-09",
     "3.84, not 3.48: figures changed over. 3.84 is in my field book at 10:18, and the starboard mark and arrival say so too. Left as written."),
    ("landing.P1.dewatering_rate", dock.DOCKMASTER, "2031-05-08",
     "No. 3 pump was left on from 14:20 to 14:30, my order to stop it was not heard. She had been down for two hours. No shore or wedge moved."),
    ("landing.P2.gap.BS3", dock.BLOCK_FOREMAN, "2031-05-06",
     "The top course of BS3 was cut down about 15 mm on 14 April to get the sweep line out, and the level not taken again. Not bearing in either position."),
    ("landing.departure.displacement", dock.DOCKMASTER, "2031-05-08",
     "The hydrometer had gone back to the office and nobody took the density at the lay-by berth. See the lift-off drafts of the same morning."),
]


def remark(finding, by, on, answer):
    return f"[[remark]]\nfinding = {json.dumps(finding)}\nanswer = {json.dumps(answer)}\nby = {json.dumps(by)}\non = {on}\n"


def make():
    write_text("remarks.toml", "\n".join(remark(*entry) for entry in REMARKS))
