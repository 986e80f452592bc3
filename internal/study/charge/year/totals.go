package year

// Totals are sums since the start: charges in C, energies in J, times in s.
type Totals struct {
	Time float64

	// At the battery's terminals, to rounding: Charged = Stored + Gas + Load + Standby + Leak, in charge and in energy.
	Charged, ChargedEnergy float64 // that came through the path
	Stored, StoredEnergy   float64 // into the main branch, less what came out of it
	Gas, GasEnergy         float64 // that made gas
	Overwhelming           float64 // of Gas, as charge: beyond the current up to which gas recombines
	Load, LoadEnergy       float64
	Standby, StandbyEnergy float64
	Leak, LeakEnergy       float64 // back into the path by night

	PathEnergy    float64 // lost between panel and battery; the panel gave it beside ChargedEnergy
	Spilled       float64 // that the regulation did not take, as charge
	SpilledEnergy float64 // at the battery's voltage
	Unmet         float64 // that the loads asked for and did not get, as charge
	SelfDischarge float64

	Through      float64 // charge that went through the main branch, in and out: cycles are half of it over the capacity
	Least        float64 // state of charge
	StateTime    float64 // state of charge × time
	AtSetpoint   float64
	AboveGassing float64 // time with a cell above the gassing voltage of its temperature
	FrozenIn     float64 // charge stored below 0 °C
	Opened       float64 // time with the protection inside the battery open, against charging or discharging
	Opens        int     // how often it opened
	Disconnects  int
	Unsolved     int // steps in which the equations had no solution; 0, or a fault of ours
}

// sums are what a step adds to.
type sums struct {
	time, volts              float64 // s, V·s
	in, inV, more            float64
	gas, gasV, over          float64
	load, loadV              float64
	dark, darkV              float64 // standby that was not drawn from a battery that gave nothing
	leak, leakV              float64
	lost, idle, idleV, unmet float64
	self, rooms, at, above   float64
	through, least           float64
	frozen, opened           float64
	disconnects, unsolved    int
	opens                    int
}

// Totals returns the sums since the start.
func (s *Sim) Totals() Totals {
	x, standby := &s.sums, s.reg.Standby
	t := Totals{
		Time: x.time, Charged: x.in, ChargedEnergy: x.inV + x.more, Gas: x.gas, GasEnergy: x.gasV, Overwhelming: x.over, Load: x.load, LoadEnergy: x.loadV,
		Standby: float64(standby*x.time) - x.dark, StandbyEnergy: float64(standby*x.volts) - x.darkV, Leak: x.leak, LeakEnergy: x.leakV,
		PathEnergy: x.lost, Spilled: x.idle, SpilledEnergy: x.idleV, Unmet: x.unmet, SelfDischarge: x.self,
		Stored: s.stored(), Least: min(x.least, s.State()), StateTime: min(x.time, float64(s.cc*x.time)-float64(s.inverse*x.rooms)),
		AtSetpoint: x.at, AboveGassing: x.above, FrozenIn: x.frozen, Opened: x.opened, Opens: x.opens, Disconnects: x.disconnects, Unsolved: x.unsolved,
		Through: x.through + s.sinceTurn(),
	}
	t.StoredEnergy = t.ChargedEnergy - t.GasEnergy - t.LoadEnergy - t.StandbyEnergy - t.LeakEnergy
	return t
}
