package charge

import (
	"context"
	"fmt"

	"hindwatt/internal/numeric"
	"hindwatt/internal/page"
	"hindwatt/internal/physics/sun/weather"
	"hindwatt/internal/study/charge/year"
)

// side is how many years go side by side in one job.
const side = 4

// A task is one system through one year of weather.
type task struct {
	year   int
	unit   unit
	change change
	keep   bool // its days and hours
	lows   bool // the lowest state of charge of its days
}

// Run takes the installation through its years. What an input lacks stands in Result.Lacks; what cannot work is an error that says why.
func Run(ctx context.Context, in Input) (*Result, error) {
	return RunKept(ctx, in, func(draw func() ([]Year, error)) ([]Year, error) { return draw() })
}

// RunKept is Run, with years that may have been drawn before: keep returns what draw returns, or has once returned from the same input.
func RunKept(ctx context.Context, in Input, keep func(draw func() ([]Year, error)) ([]Year, error)) (*Result, error) {
	if in.Years == 0 {
		in.Years = usualYears
	}
	if err := in.check(); err != nil {
		return nil, err
	}
	wanted, err := in.wanted()
	if err != nil {
		return nil, err
	}
	r := &Result{Input: in}
	for _, l := range r.Input.missing() {
		r.lacks = append(r.lacks, lack{need: l})
	}
	if len(r.lacks) > 0 {
		return r, nil
	}
	if r.model, err = newModel(&r.Input); err != nil {
		return nil, err
	}
	r.Warnings = append(r.Warnings, r.model.warnings...)
	var tasks []task
	for n, u := range r.Input.units(in.Years) {
		tasks = append(tasks, task{year: n, unit: u, lows: n < keptYears})
	}
	if r.Years, err = keep(func() ([]Year, error) { return r.model.run(ctx, tasks) }); err != nil {
		return nil, err
	}
	for _, a := range wanted {
		switch {
		case !a.fits(r.model.cell.Chemistry):
		case a.load && r.model.asked == 0:
			r.lacks = append(r.lacks, lack{r.Input.loadLack(), a.name})
		default:
			r.Outcomes = append(r.Outcomes, r.outcome(a))
		}
	}
	r.doubts()
	return r, nil
}

// run takes systems through their years, side by side and on all cores.
func (m *model) run(ctx context.Context, tasks []task) ([]Year, error) {
	out := make([]Year, len(tasks))
	err := numeric.Parallel(ctx, (len(tasks)+side-1)/side, func(job int) error {
		from, to := job*side, min((job+1)*side, len(tasks))
		return m.together(ctx, tasks[from:to], out[from:to])
	})
	return out, err
}

// A sky is one year of weather as the systems under it see it.
type sky struct {
	year    *weather.Year
	day     weather.Minutes
	minutes []year.Minute
	warm    temperature
	stopped float64 // s
	hottest float64
	coldest float64
	fallen  float64 // J/m²
}

// advance makes the minutes of a day.
func (s *sky) advance(m *model, day int) {
	s.year.Day(day, s.day)
	for i := range s.minutes {
		sun, air := s.day.Plane[i], s.day.Air[i]
		m.follow(&s.warm, air, sun)
		s.hottest, s.coldest = max(s.hottest, s.warm.battery), min(s.coldest, s.warm.battery)
		s.fallen += sun * year.Step
		if s.warm.battery < m.stopBelow || s.warm.battery > m.stopAbove {
			if sun > 0 {
				s.stopped += year.Step
			}
			sun = 0
		}
		s.minutes[i] = year.Minute{Sun: sun, Cell: s.warm.cell, Air: air, Battery: s.warm.battery, Load: m.current[i]}
	}
}

// together takes systems through a year minute by minute, those under the same sky sharing it.
func (m *model) together(ctx context.Context, tasks []task, out []Year) error {
	tallies, skies := make([]*tally, len(tasks)), make([]*sky, len(tasks))
	var all []*sky
	for k, t := range tasks {
		one, err := m.simulate(t.unit, t.change)
		if err != nil {
			return fmt.Errorf("%s: %w", m.in.file(), err)
		}
		one.keep, one.lows = t.keep, t.lows
		tallies[k] = one
		for j := range k {
			if tasks[j].year == t.year {
				skies[k] = skies[j]
				break
			}
		}
		if skies[k] == nil {
			room := weather.NewMinutes()
			room.Global, room.Diffuse = nil, nil
			skies[k] = &sky{year: m.weather.Year(m.in.Seed, t.year, m.plane), day: room, minutes: make([]year.Minute, minutes)}
			if len(all) > 0 {
				skies[k].year.Beside(all[0].year)
			}
			all = append(all, skies[k])
		}
	}
	for n := -warmUp; n < days; n++ {
		if ctx.Err() != nil {
			return ctx.Err()
		}
		day := (m.first + n + days) % days
		if n == 0 {
			for _, s := range all {
				s.stopped, s.fallen, s.hottest, s.coldest = 0, 0, 0, 1e3
			}
			for _, t := range tallies {
				t.reset()
				t.begin()
			}
		}
		for _, s := range all {
			s.advance(m, day)
		}
		m.through(tallies, skies)
		for k, t := range tallies {
			if n >= 0 {
				t.dusk(day, skies[k])
			}
		}
	}
	for k, t := range tallies {
		out[k] = t.end()
		s := skies[k]
		out[k].Stopped, out[k].Hottest, out[k].Coldest, out[k].Sun = s.stopped, s.hottest, s.coldest, s.fallen
	}
	return nil
}

// through takes the systems through a day: a processor overlaps what does not wait for each other.
func (m *model) through(tallies []*tally, skies []*sky) {
	for _, t := range tallies {
		t.dawn()
	}
	for i := range minutes {
		power := m.power[i]
		for k, t := range tallies {
			now := skies[k].minutes[i]
			if power > 0 {
				now.Load += power / max(t.sim.Voltage(), 1)
			}
			t.sim.Advance(&now, year.Step)
			t.see(i, &now)
		}
	}
}

func warning(text string) page.Note { return page.Note{Text: text} }

// note adds a warning, once.
func (r *Result) note(n page.Note) {
	for _, w := range r.Warnings {
		if w.Text == n.Text {
			return
		}
	}
	r.Warnings = append(r.Warnings, n)
}
