package year

import (
	"context"
	"fmt"

	"hindwatt/internal/numeric"
)

// Step is the length of a minute, s.
const Step = 60.0

// Run takes the simulation through minutes, one after the other. They must pass Check.
func (s *Sim) Run(minutes []Minute) {
	for i := range minutes {
		s.Advance(&minutes[i], Step)
	}
}

// Lanes is how many simulations go side by side in one job of Run.
const Lanes = 4

// Check finds the first minute that cannot be: a sun below 0 or above 2000 W/m², temperatures outside 150 to 450 K, a load below 0, or what is no number.
func Check(minutes []Minute) error {
	warm := func(t float64) bool { return t >= 150 && t <= 450 }
	for i := range minutes {
		if m := &minutes[i]; !(m.Sun >= 0 && m.Sun <= 2000 && m.Load >= 0 && m.Load < 1e6 && warm(m.Cell) && warm(m.Air) && warm(m.Battery)) {
			return fmt.Errorf("minute %d: %g W/m², cells at %g K, air %g K, battery %g K, load %g A; want a sun of 0 to 2000 W/m², 150 to 450 K and a load of 0 or more",
				i, m.Sun, m.Cell, m.Air, m.Battery, m.Load)
		}
	}
	return nil
}

// Run takes simulations through their minutes, as many for each, side by side on all cores. What each gets does not depend on the others nor on
// the number of cores. An error is that of ctx, or of minutes that do not fit.
func Run(ctx context.Context, sims []*Sim, minutes [][]Minute) error {
	if len(sims) != len(minutes) {
		return fmt.Errorf("%d simulations and %d rows of minutes; want one for each", len(sims), len(minutes))
	}
	for _, row := range minutes {
		if len(row) != len(minutes[0]) {
			return fmt.Errorf("rows of %d and %d minutes; want all of one length", len(minutes[0]), len(row))
		}
	}
	return numeric.Parallel(ctx, (len(sims)+Lanes-1)/Lanes, func(job int) error {
		from, to := job*Lanes, min((job+1)*Lanes, len(sims))
		return together(ctx, sims[from:to], minutes[from:to])
	})
}

// together takes lanes through each minute one after the other: a processor overlaps what does not wait for each other. A day is checked before it is gone through.
func together(ctx context.Context, sims []*Sim, minutes [][]Minute) error {
	const day = 1440
	for from := 0; from < len(minutes[0]); from += day {
		if err := ctx.Err(); err != nil {
			return err
		}
		to := min(from+day, len(minutes[0]))
		for k, row := range minutes {
			if k > 0 && &row[0] == &minutes[k-1][0] { // lanes often share their weather
				continue
			}
			if err := Check(row[from:to]); err != nil {
				return fmt.Errorf("day %d: %w", from/day, err)
			}
		}
		for i := from; i < to; i++ {
			for k, s := range sims {
				s.Advance(&minutes[k][i], Step)
			}
		}
	}
	return nil
}

// Advance takes the simulation through one step of a length in s, at most a minute or so.
func (s *Sim) Advance(m *Minute, dt float64) {
	if s.timed && s.night != (m.Sun <= 0) {
		if s.night = m.Sun <= 0; !s.night {
			s.float, s.timer = false, 0
			s.equal = s.reg.Equalise > 0 && s.sums.time-s.evened >= s.reg.EqualiseEvery
		}
	}
	was := s.last.at
	s.solve(m, dt)
	if v := s.flow.v; (s.timed || v < s.watch.low || v > s.watch.high) && s.due(m, was, dt) {
		s.split(m, dt)
		return
	}
	s.book(m, dt)
}
