package survival

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// A Truncated is a delay, from a failure to its report, that is known because it was no longer than its window.
type Truncated struct {
	Delay  float64 // ≥ 0
	Window float64 // from the failure to the day of the count, ≥ Delay
	Count  int     // of reports, ≥ 1
}

// A DelayStep is a delay at which reports came.
type DelayStep struct {
	Delay   float64
	Reports float64 // with this delay
	AtRisk  float64 // with this delay or a shorter one whose window is no shorter
	P       float64 // part reported within this delay, of those within the longest window
}

// A DelayCurve is the distribution of a delay, as far as the longest window shows it.
type DelayCurve struct {
	Steps   []DelayStep // at rising delays
	Longest float64     // the longest window; of longer delays nothing is known
}

// Delay returns the distribution of a reporting delay from the reports that came in time to be counted. Young failures tell of short
// delays only; taken as they are, reports make delays look shorter than they are.
//
// The distribution is that of delays within the longest window: the product of 1 − reports/at risk over all longer
// delays. Source: Lagakos, Barraj and De Gruttola, Biometrika 75 (1988), p. 515; Kalbfleisch, Lawless and Robinson, Technometrics
// 33 (1991), p. 273; equation [F6] of docs/models.md.
func Delay(delays []Truncated) (DelayCurve, error) {
	if len(delays) == 0 {
		return DelayCurve{}, errors.New("no delay; want one or more")
	}
	var c DelayCurve
	byDelay, byWindow := slices.Clone(delays), slices.Clone(delays)
	for i, d := range delays {
		switch {
		case !(d.Delay >= 0 && d.Delay <= d.Window && d.Window <= math.MaxFloat64):
			return DelayCurve{}, fmt.Errorf("delay %d: %v within a window of %v; want 0 ≤ delay ≤ window", i+1, d.Delay, d.Window)
		case d.Count < 1:
			return DelayCurve{}, fmt.Errorf("delay %d: count is %d; want 1 or more", i+1, d.Count)
		}
		c.Longest = max(c.Longest, d.Window)
	}
	slices.SortFunc(byDelay, func(a, b Truncated) int { return cmp.Compare(b.Delay, a.Delay) })
	slices.SortFunc(byWindow, func(a, b Truncated) int { return cmp.Compare(b.Window, a.Window) })
	p, longer, open := 1.0, 0.0, 0.0 // reports with a longer delay; with a window no shorter than the delay
	for len(byDelay) > 0 {
		u := byDelay[0].Delay
		for ; len(byWindow) > 0 && byWindow[0].Window >= u; byWindow = byWindow[1:] {
			open += float64(byWindow[0].Count)
		}
		step := DelayStep{Delay: u, AtRisk: open - longer, P: p}
		for ; len(byDelay) > 0 && byDelay[0].Delay == u; byDelay = byDelay[1:] {
			step.Reports += float64(byDelay[0].Count)
		}
		longer += step.Reports
		p *= 1 - step.Reports/step.AtRisk // [F6]
		c.Steps = append(c.Steps, step)
	}
	slices.Reverse(c.Steps)
	return c, nil
}

// At returns the part of delays within the longest window that are no longer than this one.
func (c DelayCurve) At(delay float64) float64 {
	p := 0.0
	for _, s := range c.Steps {
		if s.Delay > delay {
			break
		}
		p = s.P
	}
	return p
}

// Quantile returns the first delay within which at least the part p is reported, of those within the longest window; 0 < p ≤ 1.
func (c DelayCurve) Quantile(p float64) Maybe {
	const rounding = 1e-12
	for _, s := range c.Steps {
		if s.P >= p-rounding {
			return Maybe{Value: s.Delay}
		}
	}
	return Maybe{None: fmt.Sprintf("no part of %v was seen", p)}
}
