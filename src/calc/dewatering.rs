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
    let within: Vec<&Reading> =
        readings.iter().filter(|(at, _)| (from_h..=to_h).contains(at)).collect();
    let mut fastest: Option<f64> = None;
    for (n, (at, level)) in within.iter().enumerate() {
        // The first reading that lies far enough on; further ones only flatten the rate.
        let next = within[n + 1..].iter().find(|(later, _)| later - at >= LEAST_STRETCH_H - 1e-9);
        if let Some((later, lower)) = next {
            let rate = (level - lower) / (later - at);
            fastest = Some(fastest.map_or(rate, |known| known.max(rate)));
        }
    }
    fastest
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
