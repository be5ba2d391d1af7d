//! How fast the water fell, and where it stood still.

use super::formula::Formula;

pub const RATE: Formula = Formula {
    name: "rate of the water",
    title: "How fast the water fell or rose",
    says: "`difference of two levels / time between them`; fastest over any stretch of at least 10 minutes \
           between two readings; a halt is 15 minutes or more within 0.02 m",
    source: "definition of a rate; the 10 and 15 minutes are our choice, so that the scatter of readings is \
             not taken for a rate",
};

/// A reading: hours since any moment, level in m.
pub type Reading = (f64, f64);

const LEAST_STRETCH_H: f64 = 10.0 / 60.0;
const LEAST_HALT_H: f64 = 15.0 / 60.0;
/// Readings of a staff scatter by a centimetre either way (our choice).
const STILL_M: f64 = 0.02;

/// The fastest fall of the water, m/h (a positive number), between two times in hours, over stretches of
/// at least ten minutes. `None` with no such stretch. Readings must be in the order of time.
pub fn fastest_fall_m_per_h(readings: &[Reading], from_h: f64, to_h: f64) -> Option<f64> {
    fastest_fall(readings, from_h, to_h).map(|fall| fall.rate_m_per_h)
}

/// A fall of the water from one reading to another, by their numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fall {
    pub from: usize,
    pub to: usize,
    pub rate_m_per_h: f64,
}

/// The same with the two readings between which it was: the first of several as fast.
pub fn fastest_fall(readings: &[Reading], from_h: f64, to_h: f64) -> Option<Fall> {
    let within: Vec<usize> =
        (0..readings.len()).filter(|n| (from_h..=to_h).contains(&readings[*n].0)).collect();
    let mut fastest: Option<Fall> = None;
    for (n, from) in within.iter().copied().enumerate() {
        let (at, level) = readings[from];
        // The first reading that lies far enough on; further ones only flatten the rate.
        let far_enough = |to: &&usize| readings[**to].0 - at >= LEAST_STRETCH_H - 1e-9;
        if let Some(to) = within[n + 1..].iter().find(far_enough).copied() {
            let (later, lower) = readings[to];
            let rate_m_per_h = (level - lower) / (later - at);
            if fastest.is_none_or(|known| rate_m_per_h > known.rate_m_per_h) {
                fastest = Some(Fall { from, to, rate_m_per_h });
            }
        }
    }
    fastest
}

/// Of levels (m) in the order of time that can only fall, those that do not fit: without which the others fall, or stand
/// within `allowed_m`.
pub fn against_the_way(levels: &[f64], allowed_m: f64) -> Vec<usize> {
    let mut kept: Vec<usize> = (0..levels.len()).collect();
    let mut wrong = Vec::new();
    let is_risen = |a: usize, b: usize| levels[b] - levels[a] > allowed_m + 1e-9;
    // A slow rise shows against the lowest level before, not against the last.
    let risen = |kept: &[usize]| -> Option<(usize, usize)> {
        let mut lowest: Option<usize> = None;
        for (at, n) in kept.iter().copied().enumerate() {
            match lowest {
                Some(low) if is_risen(kept[low], n) => return Some((low, at)),
                Some(low) if levels[n] >= levels[kept[low]] => {}
                _ => lowest = Some(at),
            }
        }
        None
    };
    while let Some((low, high)) = risen(&kept) {
        // Without the one that is wrong the other fits what stands before and behind it.
        let faults = |without: usize| {
            let rest: Vec<usize> = kept.iter().copied().filter(|n| *n != kept[without]).collect();
            let end = (high + 4).min(rest.len());
            rest[..end].windows(2).filter(|pair| is_risen(pair[0], pair[1])).count()
                + usize::from(risen(&rest[..end]).is_some())
        };
        let at = if faults(low) < faults(high) { low } else { high };
        wrong.push(kept.remove(at));
    }
    wrong.sort_unstable();
    wrong
}

/// A stretch in which the water stood still: from, to in hours, and its level in m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Halt {
    /// Beginning, h.
    pub from_h: f64,
    /// End, h.
    pub to_h: f64,
    pub level_m: f64,
}

/// Where the water stood still for at least a quarter of an hour: no reading of the stretch lies further
/// than two centimetres from its first. Readings must be in the order of time.
pub fn halts(readings: &[Reading]) -> Vec<Halt> {
    let mut halts = Vec::new();
    let mut first = 0;
    while let Some((from_h, level_m)) = readings.get(first).copied() {
        let still = |reading: &&Reading| (reading.1 - level_m).abs() <= STILL_M + 1e-9;
        let count = readings[first..].iter().take_while(still).count();
        let to_h = readings[first + count - 1].0;
        if to_h - from_h >= LEAST_HALT_H - 1e-9 {
            halts.push(Halt { from_h, to_h, level_m });
            first += count;
        } else {
            first += 1;
        }
    }
    halts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_and_halts_by_hand() {
        let sixth = 1.0 / 6.0;
        let levels = [2.0, 1.8, 1.6, 1.6, 1.6, 1.6, 1.2, 0.8];
        let log: Vec<Reading> =
            levels.iter().enumerate().map(|(n, level)| (n as f64 * sixth, *level)).collect();
        let fastest = fastest_fall_m_per_h(&log, 0.0, 2.0);
        assert!(fastest.is_some_and(|rate| (rate - 2.4).abs() < 1e-9), "{fastest:?}");
        let early = fastest_fall_m_per_h(&log, 0.0, 0.5);
        assert!(early.is_some_and(|rate| (rate - 1.2).abs() < 1e-9), "{early:?}");
        assert_eq!(fastest_fall_m_per_h(&log, 0.0, 0.1), None);
        let halts = halts(&log);
        assert_eq!(halts.len(), 1);
        assert!(
            (halts[0].from_h - 2.0 * sixth).abs() < 1e-9
                && (halts[0].to_h - 5.0 * sixth).abs() < 1e-9
        );
        assert_eq!(halts[0].level_m, 1.6);
    }

    #[test]
    fn a_reading_against_the_way_is_told_from_its_neighbours() {
        let log = [1.8, 1.6, 1.4, 1.2, 1.0, 0.8, 0.6];
        assert!(against_the_way(&log, 0.08).is_empty());
        let with = |n: usize, level: f64| {
            let mut levels = log;
            levels[n] = level;
            against_the_way(&levels, 0.08)
        };
        assert_eq!(with(3, 2.1), [3], "too high");
        assert_eq!(with(3, -1.2), [3], "too low");
        assert_eq!(with(0, -1.8), [0]);
        assert_eq!(with(6, 6.0), [6]);
        assert_eq!(with(2, 1.66), [2; 0], "within the tolerance of two readings");
        // Readings that scatter, and water that stands.
        assert!(against_the_way(&[1.0, 1.04, 0.97, 1.03, 0.99, 0.6, 0.66, 0.3], 0.08).is_empty());
    }

    #[test]
    fn the_fastest_fall_names_its_two_readings() {
        let log = [(0.0, 2.0), (0.2, 1.9), (0.4, 1.4), (0.6, 1.3)];
        let fall = fastest_fall(&log, 0.0, 1.0).expect("a fall");
        assert_eq!((fall.from, fall.to), (1, 2));
        assert!((fall.rate_m_per_h - 2.5).abs() < 1e-9);
        assert_eq!(fastest_fall(&log, 0.3, 1.0).map(|fall| (fall.from, fall.to)), Some((2, 3)));
    }

    #[test]
    fn a_slow_leak_is_no_rate_and_two_readings_a_minute_apart_are_none() {
        assert_eq!(fastest_fall_m_per_h(&[(0.0, 1.0), (1.0 / 60.0, 0.9)], 0.0, 1.0), None);
        assert!(halts(&[(0.0, 1.0), (0.1, 1.0)]).is_empty());
        // Read to a centimetre every few minutes, still water is still.
        let levels = [0.75, 0.74, 0.75, 0.73, 0.74, 0.50];
        let log: Vec<Reading> =
            levels.iter().enumerate().map(|(n, l)| (n as f64 * 0.09, *l)).collect();
        let found = halts(&log);
        assert_eq!(found.len(), 1);
        assert!((found[0].to_h - 0.36).abs() < 1e-9);
        assert!(halts(&[]).is_empty());
    }
}
