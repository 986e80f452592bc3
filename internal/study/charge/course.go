package charge

// A Course is one day minute by minute.
type Course struct {
	Day                                       int       // of the calendar, 0: 1 January
	Voltage, Target                           []float32 // V; the level that is held back at, 0: none
	Taken, Spilled, Gas, Load, State, Battery []float32 // A, A, A, A, –, K
	Opened                                    []bool    // the protection inside the battery keeps it from being charged or discharged
}

func newCourse() *Course {
	row := func() []float32 { return make([]float32, minutes) }
	return &Course{Voltage: row(), Target: row(), Taken: row(), Spilled: row(), Gas: row(), Load: row(), State: row(), Battery: row(), Opened: make([]bool, minutes)}
}

// A pick is a reason to keep a day: the one with the most of something.
type pick struct {
	best   float64
	course *Course // of the best day so far
}

// courses keep the days of a year that are picked.
type courses struct {
	now          *Course
	lowest, most pick // state of charge; charge that made gas, of lithium charge taken below 0 °C
}

// see notes a minute.
func (c *courses) see(t *tally, minute int, battery float64, load float64) {
	d, s := c.now, t.sim
	if !s.Connected() {
		load = 0
	}
	d.Voltage[minute], d.Target[minute] = float32(s.Voltage()), float32(s.Target(battery))
	d.Taken[minute], d.Spilled[minute] = float32(s.Taken()), float32(s.Spilled())
	d.Gas[minute], d.Load[minute], d.State[minute], d.Battery[minute] = float32(s.Gassing()), float32(load), float32(s.State()), float32(battery)
	d.Opened[minute] = s.Opened()
}

// dusk keeps the day where it is more than those before.
func (c *courses) dusk(day int, emptiness, overcharge float64) {
	c.now.Day = day
	for _, k := range []struct {
		p  *pick
		of float64
	}{{&c.lowest, emptiness}, {&c.most, overcharge}} {
		if k.p.course == nil && k.of > 0 || k.p.course != nil && k.of > k.p.best {
			k.p.best, k.p.course = k.of, c.now
		}
	}
	if c.now == c.lowest.course || c.now == c.most.course {
		c.now = newCourse()
	}
}
