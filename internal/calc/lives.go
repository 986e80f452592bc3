package calc

import (
	"math"

	"hindwatt/internal/statistics/survival"
)

var (
	countColumn = column{name: "count", optional: true, valid: func(v float64) bool { return v >= 1 && v <= maxWhole && v == math.Trunc(v) }, want: "want a whole number from 1 up"}
	ageColumns  = []column{
		{name: "time", valid: notNegative, want: "want a number from 0 up, without unit"},
		{name: "failed", valid: func(v float64) bool { return v == 0 || v == 1 }, want: "want 1 for failed, 0 for still good"},
		{name: "entry", optional: true, valid: notNegative, want: "want a number from 0 up, without unit"},
		countColumn,
	}
	inspectionColumns = []column{
		{name: "from", valid: notNegative, want: "want a number from 0 up, without unit"},
		{name: "to", open: true, valid: notNegative, want: "want a number from 0 up, or inf for still good"},
		{name: "entry", optional: true, valid: notNegative, want: "want a number from 0 up, without unit"},
		countColumn,
	}
	groupColumn = column{name: "group", text: true}
)

// ages is the input of calculators that read lives.
func ages(columns string) Input {
	return Input{Name: "file", Text: true, Want: "want a CSV file with columns " + columns,
		Help: "CSV with columns " + columns + "; failed is 1 or 0; numbers without units; at will entry, the age from which a unit was watched, and count, units alike"}
}

// count is how many units a row stands for.
func (r row) count(i int) int { return max(1, int(r.number[i])) }

// life reads a row of ageColumns.
func (r row) life() (survival.Life, *fault) {
	l := survival.Life{Entry: r.number[2], From: r.number[0], To: math.Inf(1), Count: r.count(3)}
	if r.number[1] == 1 {
		l.To = l.From
	}
	if l.Entry > l.From || l.Entry == l.From && l.From == l.To && l.Entry > 0 {
		return l, &fault{2, "not below time", "want the age from which the unit was watched"}
	}
	return l, nil
}

// inspected reads a row of inspectionColumns.
func (r row) inspected() (survival.Life, *fault) {
	l := survival.Life{Entry: r.number[2], From: r.number[0], To: r.number[1], Count: r.count(3)}
	switch {
	case l.To < l.From:
		return l, &fault{1, "below from", "want the age at which it was found failed, or inf"}
	case l.Entry > l.From || l.Entry == l.From && l.From == l.To && l.Entry > 0:
		return l, &fault{2, "above from", "want the age from which the unit was watched"}
	}
	return l, nil
}

// collect returns a layout whose rows end in lives.
func collect(lives *[]survival.Life, columns []column, read func(row) (survival.Life, *fault)) layout {
	return layout{columns, func(r row) *fault {
		l, f := read(r)
		*lives = append(*lives, l)
		return f
	}}
}
