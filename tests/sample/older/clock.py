"""Minutes since the beginning of the docking's month. See ../clock.py."""

MONTH = "2006-09-"


def minutes(day_and_time):
    """`10 13:30`, the 10th at half past one, or the whole `2006-09-10T13:30`."""
    day, time = day_and_time.removeprefix(MONTH).replace("T", " ").split()
    hours, mins = time.split(":")
    return (int(day) * 24 + int(hours)) * 60 + int(mins)


def written(minute):
    """The reverse: `2006-09-10T13:30`."""
    hours, mins = divmod(int(minute), 60)
    days, hours = divmod(hours, 24)
    return f"{MONTH}{days:02}T{hours:02}:{mins:02}"


def later(day_and_time, more):
    return written(minutes(day_and_time) + more)
