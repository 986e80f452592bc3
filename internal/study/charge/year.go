package charge

import (
	"hindwatt/internal/physics/battery"
	"hindwatt/internal/study/charge/year"
)

// A Year is what one system did in one year.
type Year struct {
	year.Totals // of the year alone; Least is its lowest state of charge

	Highest   float64 // V
	GasPeak   float64 // A, the largest current that made gas
	Longest   int     // days, the longest time without a full charge
	FullDays  int     // days on which the battery became full
	Cycles    float64 // full-equivalent, by rainflow
	Wear      float64 // share of the cycle life
	Water     float64 // kg, lost by each cell
	ToppingUp float64 // s; 0: water is not topped up
	Hydrogen  float64 // m³ at 25 °C, given off
	Heat      float64 // J, of overcharge
	Stopped   float64 // s, that charging was stopped for the battery's temperature
	Hottest   float64 // K, of the battery
	Coldest   float64 // K
	Sun       float64 // J/m² on the panel

	Lows    []float32 // the lowest state of charge of each day of the calendar; of the first 40 years
	Days    []Day     // by day of the calendar; nil unless they were asked for
	Volts   []float32 // V, mean of each hour of the calendar, likewise
	Gassing []bool    // a cell stands above its gassing voltage for half of the hour or longer, likewise

	Lowest, Busiest *Course // the day of the lowest state of charge, and that of the most gas (of lithium: of the most charge below 0 °C), likewise; nil: none
}

// A Day is one day of a course.
type Day struct {
	Totals           year.Totals // sums of the day
	Low, High, Start float64     // state of charge
	Battery          float64     // K, mean
}

// fullState is the state of charge from which a battery counts as full: what a long absorption reaches. Common practice.
const fullState = 0.98

// A tally follows one simulation through its year.
type tally struct {
	sim       *year.Sim
	u         unit
	cell      *battery.Battery
	begun     bool
	start     year.Totals
	before    year.Totals // at the last midnight
	out       Year
	high, low float64 // of the day
	first     float64
	waiting   int
	volts     [24]float64 // mean of each hour of the day
	gassing   [24]float64 // s above the gassing voltage in each hour of the day
	above     float64     // s above it, until the hour that runs
	keep      bool
	lows      bool
	courses   *courses // nil: no day is kept
}

// begin starts the year after its warm-up.
func (t *tally) begin() {
	t.begun = true
	t.start, t.before = t.sim.Totals(), t.sim.Totals()
	t.out.Least = 1
	t.sim.Rainflow = battery.NewRainflow(func(size, cycles float64) {
		t.out.Cycles += float64(size * cycles)
		t.out.Wear += t.cell.Cell.Wear(size, cycles)
	})
	t.sim.Rainflow.Add(t.sim.State())
	if t.lows {
		t.out.Lows = make([]float32, days)
	}
	if t.keep {
		t.out.Days, t.out.Volts = make([]Day, days), make([]float32, days*24)
		t.out.Gassing, t.above = make([]bool, days*24), t.start.AboveGassing
		t.courses = &courses{now: newCourse()}
	}
}

// dawn begins a day.
func (t *tally) dawn() {
	t.first = t.sim.State()
	t.low, t.high, t.volts = t.first, t.first, [24]float64{}
}

// see looks at the simulation after a minute.
func (t *tally) see(minute int, m *year.Minute) {
	s := t.sim.State()
	if s < t.low {
		t.low = s
	}
	if s > t.high {
		t.high = s
	}
	v := t.sim.Voltage()
	if v > t.out.Highest {
		t.out.Highest = v
	}
	if t.keep {
		t.volts[minute/60] += v / 60
		if minute%60 == 59 {
			sum := t.sim.Totals().AboveGassing
			t.gassing[minute/60], t.above = sum-t.above, sum
		}
		if t.courses != nil {
			t.courses.see(t, minute, m.Battery, m.Load)
		}
	}
	if g := t.sim.Gassing(); g > t.out.GasPeak {
		t.out.GasPeak = g
	}
}

// dusk ends a day of the calendar.
func (t *tally) dusk(day int, s *sky) {
	t.out.Least = min(t.out.Least, t.low)
	if t.lows {
		t.out.Lows[day] = float32(t.low)
	}
	if t.high >= fullState {
		t.out.FullDays++
		t.waiting = 0
	} else {
		t.waiting++
		t.out.Longest = max(t.out.Longest, t.waiting)
	}
	if t.keep {
		now := t.sim.Totals()
		d := less(now, t.before)
		busy := d.Gas
		if !t.cell.Cell.Chemistry.Lead() {
			busy = d.FrozenIn
		}
		t.courses.dusk(day, 1-t.low+1e-12, busy)
		t.out.Days[day] = Day{Totals: d, Low: t.low, High: t.high, Start: t.first, Battery: s.warm.battery}
		for h, v := range t.volts {
			t.out.Volts[day*24+h], t.out.Gassing[day*24+h] = float32(v), t.gassing[h] >= 1800
		}
		t.before = now
	}
}

// reset forgets what the warm-up showed.
func (t *tally) reset() { t.out = Year{} }

// freeWater is the acid above the plates that may be lost before topping up, kg for each Ah and cell: some 0.3 to 0.6 kg in six cells of
// 45 Ah. An estimate.
const freeWater = 1.6e-3

// end sums the year up.
func (t *tally) end() Year {
	t.sim.Rainflow.End()
	y, k := &t.out, &t.cell.Cell
	least := y.Least
	y.Totals = less(t.sim.Totals(), t.start)
	y.Least = least
	if t.courses != nil {
		y.Lowest, y.Busiest = t.courses.lowest.course, t.courses.most.course
	}
	if k.Chemistry.Lead() {
		escaped := y.Gas - float64(k.Recombination*(y.Gas-y.Overwhelming))
		y.Water = battery.Water(escaped, 1, 0)
		y.Hydrogen = battery.Hydrogen(escaped, t.cell.Cells, 0, battery.Warm)
		y.Heat = battery.OverchargeHeat(y.GasEnergy, escaped, t.cell.Cells)
		if !k.Chemistry.Sealed() && y.Water > 0 {
			y.ToppingUp = min(100*aYear, freeWater*t.cell.Capacity/ah/y.Water*y.Time)
		}
	}
	return *y
}

// less is what was added from one sum to another.
func less(a, b year.Totals) year.Totals {
	return year.Totals{
		Time: a.Time - b.Time, Charged: a.Charged - b.Charged, ChargedEnergy: a.ChargedEnergy - b.ChargedEnergy,
		Stored: a.Stored - b.Stored, StoredEnergy: a.StoredEnergy - b.StoredEnergy, Gas: a.Gas - b.Gas, GasEnergy: a.GasEnergy - b.GasEnergy, Overwhelming: a.Overwhelming - b.Overwhelming,
		Load: a.Load - b.Load, LoadEnergy: a.LoadEnergy - b.LoadEnergy, Standby: a.Standby - b.Standby, StandbyEnergy: a.StandbyEnergy - b.StandbyEnergy,
		Leak: a.Leak - b.Leak, LeakEnergy: a.LeakEnergy - b.LeakEnergy, PathEnergy: a.PathEnergy - b.PathEnergy,
		Spilled: a.Spilled - b.Spilled, SpilledEnergy: a.SpilledEnergy - b.SpilledEnergy, Unmet: a.Unmet - b.Unmet,
		SelfDischarge: a.SelfDischarge - b.SelfDischarge, Through: a.Through - b.Through, StateTime: a.StateTime - b.StateTime,
		AtSetpoint: a.AtSetpoint - b.AtSetpoint, AboveGassing: a.AboveGassing - b.AboveGassing, FrozenIn: a.FrozenIn - b.FrozenIn,
		Opened: a.Opened - b.Opened, Opens: a.Opens - b.Opens,
		Disconnects: a.Disconnects - b.Disconnects, Unsolved: a.Unsolved - b.Unsolved,
	}
}
