package logfile

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"hindwatt/internal/numeric"
	"hindwatt/internal/quantity"
)

// finish looks at the columns as a whole.
func (r *reader) finish() error {
	log := r.log
	if len(log.Time) == 0 {
		return r.ask.fault(r.first.number, "", "has no row that could be read", "want a row with a time and a number")
	}
	for k := range log.Columns {
		c := &log.Columns[k]
		if c.Read == 0 || r.text[k] > c.Read {
			return r.ask.column(c, r.text[k], log)
		}
		if u := r.units[k]; u.digit < mostPower {
			c.Digit = u.scale * math.Pow10(u.digit)
		}
	}
	log.Start = r.clock.start()
	log.Step = step(log.Time)
	r.spread()
	r.gaps()
	slices.SortStableFunc(log.Left, func(a, b Left) int { return cmp.Compare(a.First, b.First) })
	if r.clock.undated {
		r.note("the log's day may be read in more than one way; its times count, its day does not", `write dates = "dmy", "mdy" or "ymd" in the run`)
	}
	return nil
}

// column is the fault of a column without numbers.
func (a *Ask) column(c *Numbers, text int, log *Log) error {
	i := slices.IndexFunc(log.Left, func(l Left) bool { return l.Column == c.Name && (text == 0 || l.Why == noNumber) })
	line, value := 0, ""
	if i >= 0 {
		line, value = log.Left[i].First, log.Left[i].Text
	}
	if text > c.Read {
		return a.fault(line, value, fmt.Sprintf("column %s holds text: %d of its cells are no numbers, %d are", c.Name, text, c.Read), "want a column of numbers")
	}
	return a.fault(line, value, "column "+c.Name+" holds no number", "want a column that the logger filled")
}

// step is the usual time from a row to the next: the median of steps that are more than 0, of at most
// some thousands; 0 if there is none.
func step(t []float64) float64 {
	const most = 20_000
	var steps []float64
	stride := 1 + len(t)/most
	for i := stride; i < len(t); i += stride {
		if d := t[i] - t[i-1]; d > 0 {
			steps = append(steps, d)
		}
	}
	if len(steps) == 0 {
		for i := 1; i < len(t) && len(steps) < most; i++ {
			if d := t[i] - t[i-1]; d > 0 {
				steps = append(steps, d)
			}
		}
	}
	if len(steps) == 0 {
		return 0
	}
	return numeric.Select(steps, len(steps)/2)
}

// spread lays rows with one and the same stamp evenly over the time until the next one, for a clock
// that shows whole seconds or minutes goes on within them.
func (r *reader) spread() {
	if r.repeated == 0 {
		return
	}
	t, usual := r.log.Time, r.log.Step
	for i := 0; i < len(t); {
		j := i + 1
		for j < len(t) && t[j] == t[i] {
			j++
		}
		until := usual
		if j < len(t) {
			until = min(until, t[j]-t[i])
		}
		for m := i + 1; m < j; m++ {
			t[m] = t[i] + until*float64(m-i)/float64(j-i)
		}
		i = j
	}
	r.note(fmt.Sprintf("%d rows have the stamp of the row before; they were spread evenly until the next stamp", r.repeated), "let the logger write fractions of a second")
	r.log.Step = step(t)
}

// gaps tells of times at which nothing was logged.
func (r *reader) gaps() {
	const wide = 5 // usual steps
	count, longest, at := 0, 0.0, 0
	t := r.log.Time
	for i := 1; i < len(t); i++ {
		if d := t[i] - t[i-1]; d > wide*r.log.Step {
			count++
			if d > longest {
				longest, at = d, i
			}
		}
	}
	if count > 0 {
		r.note(fmt.Sprintf("nothing was logged for %s before line %d%s", span(longest), r.log.Line(at), more(count-1, "shorter gap")), "the gaps count as unknown, not as nothing")
	}
}

func more(n int, what string) string {
	switch n {
	case 0:
		return ""
	case 1:
		return " and in 1 " + what
	}
	return fmt.Sprintf(" and in %d %ss", n, what)
}

// span words a time.
func span(s float64) string {
	unit := "s"
	switch {
	case s >= 2*secondsOfDay:
		unit = "d"
	case s >= 2*3600:
		unit = "h"
	case s >= 120:
		unit = "min"
	}
	return quantity.Format(s, quantity.Time, unit, -2)
}
