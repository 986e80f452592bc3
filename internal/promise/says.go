package promise

import (
	"fmt"
	"slices"

	"hindwatt/internal/page"
)

// sayShares words how many units are inside the bound, or what their mean is, by each kind of
// evidence.
func (j *Judged) sayShares() {
	for _, kind := range kinds {
		e := j.weightiest(kind)
		if e == nil {
			continue
		}
		if e.End != nil {
			j.Says = append(j.Says, e.endSentence())
			continue
		}
		if e.Inside == nil {
			s := scaleOf(j.Dim, j.Unit, e.spread())
			j.Says = append(j.Says, fmt.Sprintf("%s: on average %s%s", kind, s.text(e.Best), s.inBrackets(e)))
			continue
		}
		if e.NoFigure {
			j.Says = append(j.Says, fmt.Sprintf("%s: %s", kind, e.Note))
			continue
		}
		said := fmt.Sprintf("%s: %s, %s asked", kind, insideText(*e.Inside), asked(j.Proportion))
		if e.Units > 0 {
			said += "; " + units(e.Units) + " seen"
		}
		if e.Note != "" {
			said += ", " + e.Note
		}
		j.Says = append(j.Says, said)
	}
}

// inBrackets words the limits of a mean, or why there are none; nothing where they are the mean itself.
func (s scale) inBrackets(e *Evidence) string {
	i := e.Interval
	switch {
	case i.OpenLow && i.OpenHigh && e.Note != "":
		return " (" + e.Note + ")"
	case !i.OpenLow && !i.OpenHigh && s.text(i.Low) == s.text(i.High):
		return ""
	}
	return " (" + s.interval(i) + ")"
}

// weightiest is the evidence of a kind that decides its stance.
func (j *Judged) weightiest(kind Kind) *Evidence {
	var best *Evidence
	for i := range j.Evidence {
		e := &j.Evidence[i]
		if e.Kind != kind {
			continue
		}
		now := stance(j.Bound, j.Proportion, *e)
		if best == nil || now == Breaks || e.Covers && stance(j.Bound, j.Proportion, *best) != Breaks {
			best = e
		}
	}
	return best
}

// saySettling words what would settle an open promise.
func (j *Judged) saySettling(s *settling) {
	if s == nil || j.Verdict != Unproven {
		return
	}
	if s.why != "" {
		j.MoreWhy = s.why
		j.Says = append(j.Says, s.why)
		return
	}
	if s.more <= 0 {
		return
	}
	j.More = &s.more
	end := ""
	if e := j.weightiest(Measured); e != nil && e.Inside != nil && e.Inside.Best < j.Proportion {
		end = ", as not met if they are like those seen"
	}
	j.Says = append(j.Says, fmt.Sprintf("%d more %s on the bench would settle it%s", s.more, plural(s.more, "unit", "units"), end))
}

func plural(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// doubt says a warning about the evidence, once.
func (j *Judged) doubt(n page.Note) {
	said := n.Text
	if n.Remedy != "" {
		said += "; " + n.Remedy
	}
	if !slices.Contains(j.Doubts, said) {
		j.Doubts = append(j.Doubts, said)
	}
}

// insideText words a share of units with its limits.
func insideText(share Interval) string {
	best, low, high := percent(share.Best), percent(share.Low), percent(share.High)
	if low == best && high == best {
		return best + " of units inside"
	}
	return fmt.Sprintf("%s of units inside (%s to %s)", best, low, high)
}
