//! Whether the day or the month comes first in a file's dates: settled for all its rows at once, or asked.

use std::cmp::Ordering;
use std::sync::Arc;

use chrono::NaiveDate;

use super::super::characters::quoted;
use super::super::notes::{Deciding, SettledBy};
use super::super::place::Place;
use super::super::problem::{Alike, Problem, Problems, Reach};
use super::times::{Clock, Numbers, Order, Orders, TWO_READINGS};

/// What is known of a docking's times before a file is read.
#[derive(Debug, Clone, Default)]
pub struct Calendar {
    pub clock: Clock,
    /// The order of dates that `[period]` states.
    pub order: Option<Order>,
    /// First and last day, as far as they are recorded.
    pub period: (Option<NaiveDate>, Option<NaiveDate>),
    /// Whether `[period]` could not be read, so that it may state what is missed here.
    pub is_unsure: bool,
}

/// The dates of a file with the year last, and what they leave possible.
#[derive(Debug, Default)]
pub struct Dates(Vec<Signed>);

/// Those with one sign between their numbers.
#[derive(Debug)]
struct Signed {
    sign: char,
    /// The first that is a day with the month first alone, and the first that is one with the day first alone.
    only: [Option<Seen>; 2],
    /// The first that may be two days.
    open: Option<Seen>,
    /// How many may be two days.
    count: usize,
    /// Of those that may be two days, for each order the first that it puts outside the docking.
    outside: [Option<Seen>; 2],
    /// How many each order puts within it.
    within: [usize; 2],
}

#[derive(Debug, Clone)]
struct Seen {
    text: String,
    numbers: Numbers,
    place: Place,
}

const BOTH: [Order; 2] = [Order::MonthFirst, Order::DayFirst];

impl Dates {
    /// Takes note of a cell that holds a day or a time.
    pub fn see(&mut self, text: &str, calendar: &Calendar, place: impl FnOnce() -> Place) {
        let Some(numbers) = Numbers::begin(text.trim()) else { return };
        let at =
            self.0.iter().position(|signed| signed.sign == numbers.sign).unwrap_or_else(|| {
                self.0.push(Signed::new(numbers.sign));
                self.0.len() - 1
            });
        let seen = || Seen { text: text.trim().to_string(), numbers, place: place() };
        let signed = &mut self.0[at];
        match BOTH.map(|order| numbers.day(order)) {
            [Some(_), None] if signed.only[0].is_none() => signed.only[0] = Some(seen()),
            [None, Some(_)] if signed.only[1].is_none() => signed.only[1] = Some(seen()),
            [Some(month), Some(day)] if month != day => {
                signed.count += 1;
                let seen = seen();
                for (at, day) in [month, day].into_iter().enumerate() {
                    if is_within(day, calendar) {
                        signed.within[at] += 1;
                    } else if signed.outside[at].is_none() {
                        signed.outside[at] = Some(seen.clone());
                    }
                }
                signed.open.get_or_insert(seen);
            }
            _ => {}
        }
    }

    /// The orders that hold in the file. What decided is noted once; what can't be decided is one problem.
    pub fn settle(self, file: &Arc<str>, calendar: &Calendar, problems: &mut Problems) -> Orders {
        let mut orders = Orders::default();
        for signed in self.0 {
            match signed.settled(calendar) {
                Settled::To(order, by, decided) => {
                    orders.settle(signed.sign, order);
                    let place =
                        decided.map_or_else(|| Place::file(file), |seen| seen.place.clone());
                    let text = decided.map(|seen| seen.text.clone());
                    let form = signed.form(order);
                    problems.notes.dates_read(form, by, Deciding { place, text });
                }
                Settled::Never if calendar.is_unsure => {}
                Settled::Never => problems.add(signed.asked(calendar)),
                Settled::Nothing => {}
            }
        }
        orders
    }
}

enum Settled<'a> {
    /// The order, what settled it, and the date that did.
    To(Order, SettledBy, Option<&'a Seen>),
    Never,
    Nothing,
}

impl Signed {
    fn new(sign: char) -> Self {
        Self {
            sign,
            only: [None, None],
            open: None,
            count: 0,
            outside: [None, None],
            within: [0, 0],
        }
    }

    /// An order with the sign between: `month.day.year`.
    fn form(&self, order: Order) -> String {
        order.in_words().replace('/', &self.sign.to_string())
    }

    fn settled(&self, calendar: &Calendar) -> Settled<'_> {
        if let Some(order) = calendar.order {
            return Settled::To(order, SettledBy::Stated(order.word()), None);
        }
        let [month, day] = BOTH;
        match (&self.only, &self.outside, self.open.is_some()) {
            ([Some(_), Some(_)], ..) => Settled::Never,
            ([Some(seen), None], ..) => Settled::To(month, SettledBy::NoDay, Some(seen)),
            ([None, Some(seen)], ..) => Settled::To(day, SettledBy::NoDay, Some(seen)),
            (_, [None, Some(seen)], true) => {
                Settled::To(month, SettledBy::NotInDocking, Some(seen))
            }
            (_, [Some(seen), None], true) => Settled::To(day, SettledBy::NotInDocking, Some(seen)),
            (.., true) => Settled::Never,
            (.., false) => Settled::Nothing,
        }
    }

    /// The order that is more likely: that which puts more of them within the docking, or the first of them nearer to
    /// it; else points go with the day first and strokes with the month first (common practice, no source).
    fn likely(&self, seen: &Seen, calendar: &Calendar) -> Order {
        let days_off = |order: Order| {
            let day = seen.numbers.day(order)?;
            let (began, ended) = calendar.period;
            let before = began.map(|began| (began - day).num_days().max(0));
            let after = ended.map(|ended| (day - ended).num_days().max(0));
            let off = before.into_iter().chain(after).sum::<i64>();
            // Of one end alone the other side is open.
            let open = began.or(ended).map(|end| (end - day).num_days().abs())?;
            Some(if began.is_some() && ended.is_some() { off } else { open })
        };
        let [month, day] = BOTH.map(days_off);
        match (self.within[0].cmp(&self.within[1]), month.cmp(&day), self.sign) {
            (Ordering::Greater, ..) | (Ordering::Equal, Ordering::Less, _) => Order::MonthFirst,
            (Ordering::Less, ..) | (Ordering::Equal, Ordering::Greater, _) => Order::DayFirst,
            (.., '/') => Order::MonthFirst,
            _ => Order::DayFirst,
        }
    }

    fn asked(&self, calendar: &Calendar) -> Problem {
        if let [Some(month), Some(day)] = &self.only {
            let (earlier, later) =
                if month.place <= day.place { (month, day) } else { (day, month) };
            let order = |seen: &Seen| if std::ptr::eq(seen, month) { BOTH[0] } else { BOTH[1] };
            let wrong = format!(
                "can only be {}, and {} at {} only {}",
                self.form(order(later)),
                quoted(&earlier.text),
                earlier.place,
                self.form(order(earlier))
            );
            return Problem::new(later.place.clone(), wrong)
                .value(later.text.clone())
                .expected("one order in all dates of a file that have the same sign in them")
                .advice(
                    "correct the one that is wrong; or write the dates so that they can be read in one \
                     way only, 2027-09-10 or 10 Sep 2027",
                );
        }
        let Some(seen) = &self.open else {
            return Problem::new(Place::default(), TWO_READINGS);
        };
        let day = |order: Order| {
            let day = seen.numbers.day(order);
            day.map(|day| day.format("%-d %B %Y").to_string()).unwrap_or_default()
        };
        let one = self.likely(seen, calendar);
        let other = one.other();
        let count = match self.count {
            1 => String::new(),
            n => format!(", as may {} more dates of this file", n - 1),
        };
        let docking = match calendar.period {
            (Some(began), Some(ended)) => format!(" (the docking was from {began} to {ended})"),
            _ => String::new(),
        };
        Problem::new(
            seen.place.clone(),
            format!("may be {} or {}{count}{docking}", day(one), day(other)),
        )
        .reaches(Reach::File)
        .alike(Alike::SettledBy("the order of dates"))
        .value(seen.text.clone())
        .expected(format!(
            "a day that can be read in one way only, such as {}; or, in docking.toml, the order in which dates are \
             written",
            seen.numbers.day(one).map(|day| day.to_string()).unwrap_or_default()
        ))
        .advice(format!(
            "under [period] in docking.toml write dates = \"{}\" if {} is meant, or dates = \"{}\" if {} is; \
             it holds for all files",
            one.word(),
            day(one),
            other.word(),
            day(other)
        ))
    }
}

/// Whether a day is one of the docking, as far as that is recorded with both ends.
fn is_within(day: NaiveDate, calendar: &Calendar) -> bool {
    match calendar.period {
        (Some(began), Some(ended)) => (began..=ended).contains(&day),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is settled of dates with strokes, and what is noted or asked.
    fn settled(dates: &[&str], calendar: &Calendar) -> (Option<Order>, String) {
        let file: Arc<str> = "coating/climate.csv".into();
        let mut problems = Problems::default();
        let mut seen = Dates::default();
        for (line, text) in (2..).zip(dates) {
            seen.see(text, calendar, || Place::value(&file, line, 1, &"at".into()));
        }
        let orders = seen.settle(&file, calendar, &mut problems);
        let notes = problems.take_notes();
        let all = notes.into_iter().chain(problems.into_sorted());
        (orders.of('/'), all.map(|one| one.to_string()).collect())
    }

    fn docking(began: &str, ended: &str) -> Calendar {
        let day = |text: &str| text.parse().ok();
        Calendar { period: (day(began), day(ended)), ..Calendar::default() }
    }

    #[test]
    fn the_file_the_docking_or_a_word_decides_and_else_it_is_asked() {
        let none = Calendar::default();
        let autumn = docking("2027-09-06", "2027-09-30");
        let month = Some(Order::MonthFirst);
        let (order, said) = settled(&["9/10/2027 7:00 AM", "9/17/2027 7:00 AM"], &none);
        assert_eq!(order, month);
        assert!(said.contains("coating/climate.csv:3:1 (\"9/17/2027 7:00 AM\")"), "{said}");
        let (order, said) = settled(&["9/10/2027", "9/9/2027"], &autumn);
        assert_eq!(order, month);
        assert!(said.contains("would lie outside the docking otherwise"), "{said}");
        let stated = Calendar { order: Some(Order::DayFirst), ..autumn.clone() };
        assert_eq!(settled(&["9/10/2027"], &stated).0, Some(Order::DayFirst));
        // Neither file nor docking decide: both days are in it, or neither is.
        let long = docking("2027-09-06", "2027-10-30");
        for calendar in [&none, &long, &docking("2027-01-06", "2027-01-30")] {
            let (order, said) = settled(&["9/10/2027", "10/9/2027"], calendar);
            assert_eq!(order, None);
            assert!(
                said.contains("may be 10 September 2027 or 9 October 2027, as may 1 more"),
                "{said}"
            );
        }
        // One date outside is enough to doubt what the others say.
        assert_eq!(settled(&["9/10/2027", "7/11/2027"], &autumn).0, None);
        // The nearer day is named first.
        let (_, said) = settled(&["9/10/2027"], &docking("2027-10-20", "2027-10-30"));
        assert!(said.contains("may be 9 October 2027 or 10 September 2027"), "{said}");
        let (order, said) = settled(&["9/17/2027", "17/9/2027"], &none);
        assert_eq!(order, None);
        assert!(said.contains("can only be day/month/year"), "{said}");
        assert_eq!(
            settled(&["2027-09-10", "10 Sep 2027", "9/9/2027", "x"], &none),
            (None, String::new())
        );
    }
}
