package promise

import "hindwatt/internal/figure"

// Verdict is what the evidence says of a promise.
type Verdict string

// The four verdicts.
const (
	Met        Verdict = "met"
	Unproven   Verdict = "unproven"
	NotMet     Verdict = "not met"
	NoEvidence Verdict = "no evidence"
)

// A Bound is the region that a promise allows, in SI units; a nil side is open. Or it is the ends of a mistake that it accepts.
type Bound struct {
	Min, Max *float64
	Ends     []figure.FaultEnd
}

// holds reports whether all of the interval lies inside the bound.
func (b Bound) holds(i Interval) bool {
	low := b.Min == nil || (!i.OpenLow && i.Low >= *b.Min)
	high := b.Max == nil || (!i.OpenHigh && i.High <= *b.Max)
	return low && high
}

// excludes reports whether all of the interval lies outside, on one side.
func (b Bound) excludes(i Interval) bool {
	below := b.Min != nil && !i.OpenHigh && i.High < *b.Min
	above := b.Max != nil && !i.OpenLow && i.Low > *b.Max
	return below || above
}

// An Interval is a best value with its limits at the promise's confidence. An
// open side has no limit; its number is then 0 and is not to be shown.
type Interval struct {
	Best, Low, High   float64
	OpenLow, OpenHigh bool
}

// Stance is what one piece of evidence says of a bound.
type Stance uint8

const (
	LeavesOpen Stance = iota
	Supports
	Breaks
)

// stance judges one piece of evidence. Evidence for each unit is judged by the
// proportion of units inside the bound, any other by its interval. Evidence
// that was got at a part of the promised conditions may break the promise but
// cannot support it.
func stance(b Bound, asked float64, e Evidence) Stance {
	verdict := LeavesOpen // [V1], [V2]
	switch {
	case e.End != nil:
		verdict = b.endStance(*e.End)
	case e.Inside != nil && e.Inside.Low >= asked,
		e.Inside == nil && b.holds(e.Interval):
		verdict = Supports
	case e.Inside != nil && e.Inside.High < asked,
		e.Inside == nil && b.excludes(e.Interval):
		verdict = Breaks
	}
	if verdict == Supports && !e.Covers {
		return LeavesOpen
	}
	return verdict
}

// Judge gives the verdict of all the evidence. A kind breaks the promise if any
// of its evidence does, supports it if any that covers the conditions does, and
// leaves it open otherwise.
func Judge(b Bound, asked float64, evidence []Evidence) Verdict {
	byKind := map[Kind]Stance{}
	for _, e := range evidence {
		said, seen := byKind[e.Kind]
		now := stance(b, asked, e)
		if !seen || now == Breaks || (said == LeavesOpen && now == Supports) {
			byKind[e.Kind] = now
		}
	}
	if len(byKind) == 0 {
		return NoEvidence
	}
	verdict := Met // [V3]
	for _, said := range byKind {
		if said == Breaks {
			return NotMet
		}
		if said == LeavesOpen {
			verdict = Unproven
		}
	}
	return verdict
}
