package year

// Totals are sums since the start: charges in C, energies in J, times in s.
type Totals struct {
	Time float64

	// At the battery's terminals. Charged + nothing else = Stored + Gas + Load + Standby + Leak, to rounding, in charge and in energy.
	Charged, ChargedEnergy float64 // that came through the path
	Stored, StoredEnergy   float64 // into the main branch, less what came out of it
	Gas, GasEnergy         float64 // that made gas
	Load, LoadEnergy       float64
	Standby, StandbyEnergy float64
	Leak, LeakEnergy       float64 // back into the path

	PathEnergy    float64 // lost between panel and battery; the panel gave it beside ChargedEnergy
	Spilled       float64 // that the regulation did not take, as charge
	SpilledEnergy float64 // at the battery's voltage
	Unmet         float64 // that the loads asked for and did not get, as charge
	SelfDischarge float64

	Through      float64 // charge that went through the main branch, in and out: cycles are half of it over the capacity
	Least        float64 // state of charge
	StateTime    float64 // state of charge × time
	AtSetpoint   float64
	AboveGassing float64 // time with a cell above the gassing voltage
	FrozenIn     float64 // charge stored below 0 °C
	Disconnects  int
	Unsolved     int // minutes for which the equation did not close; 0 or a fault of ours
}
