package reference

import (
	"context"
	"errors"
	"math"

	"hindwatt/internal/physics/circuit"
)

func init() {
	solve(from(bridge), "NET-01")
	solve(from(superposition), "NET-03")
	solve(from(unbalanced), "NET-05")
	solve(from(ladder), "NET-07")
	solve(from(diodeCircuit), "NET-09", "NET-11")
	solve(from(reversedBattery), "NET-13")
	solve(from(twoSources), "NET-15")
	solve(from(openNode), "NET-17")
	solve(from(badlyScaled), "NET-19")
	solve(from(chargingPoint), "NET-21")
	solve(from(batteryGone), "NET-23")
	solve(from(networkFile), "NET-A1", "NET-A3")
	solve(from(decadeDiode), "NET-A2")
}

const ground = circuit.Ground

// settle solves a network.
func settle(n *circuit.Network) (*circuit.Solution, error) {
	s, err := circuit.Compile(n)
	if err != nil {
		return nil, err
	}
	return s.Solve()
}

func networkFile(ctx context.Context, in struct{ File string }) (answers, error) {
	return calculate(ctx, "network", "file="+in.File)
}

func bridge(_ context.Context, in struct {
	R  [5]float64 `json:"R1_R2_R3_R4_Rg"`
	Vs float64
}) (answers, error) {
	n := circuit.New()
	top, left, right := n.Node("top"), n.Node("2"), n.Node("3")
	n.Source("v", top, ground, in.Vs)
	n.Resistor("r1", top, left, in.R[0])
	n.Resistor("r2", left, ground, in.R[1])
	n.Resistor("r3", top, right, in.R[2])
	n.Resistor("r4", right, ground, in.R[3])
	detector := n.Resistor("rg", left, right, in.R[4])
	s, err := settle(n)
	if err != nil {
		return nil, err
	}
	return answers{"V2": s.Voltage(left), "V3": s.Voltage(right), "I_g_mA": 1e3 * s.Current(detector)}, nil
}

// superposition is 12 V through 4 ohm and 3 A into a 6 ohm, together and each alone.
func superposition(_ context.Context, _ struct{}) (answers, error) {
	n := circuit.New()
	a, b := n.Node("1"), n.Node("2")
	v := n.Source("v", a, ground, 12)
	n.Resistor("r1", a, b, 4)
	n.Resistor("r2", b, ground, 6)
	i := n.Current("i", ground, b, 3)
	got := answers{}
	for _, c := range []struct {
		key         string
		volts, amps float64
	}{{"V2", 12, 3}, {"from_V", 12, 0}, {"from_I", 0, 3}} {
		n.SetVoltage(v, c.volts)
		n.SetCurrent(i, c.amps)
		s, err := settle(n)
		if err != nil {
			return nil, err
		}
		got[c.key] = s.Voltage(b)
	}
	return got, nil
}

func unbalanced(_ context.Context, in struct{ R12, R13, R23, R20, R30 float64 }) (answers, error) {
	n := circuit.New()
	a, b, c := n.Node("1"), n.Node("2"), n.Node("3")
	n.Resistor("r12", a, b, in.R12)
	n.Resistor("r13", a, c, in.R13)
	n.Resistor("r23", b, c, in.R23)
	n.Resistor("r20", b, ground, in.R20)
	n.Resistor("r30", c, ground, in.R30)
	n.Current("i", ground, a, 1)
	s, err := settle(n)
	if err != nil {
		return nil, err
	}
	return answers{"Req": s.Voltage(a)}, nil
}

// ladder has ten sections of 1 ohm in series and 2 ohm across, fed with 1 A.
func ladder(_ context.Context, _ struct{}) (answers, error) {
	n := circuit.New()
	at := n.Node("in")
	first := at
	for _, section := range []string{"1", "2", "3", "4", "5", "6", "7", "8", "9", "10"} {
		next := n.Node(section)
		n.Resistor("series "+section, at, next, 1)
		n.Resistor("across "+section, next, ground, 2)
		at = next
	}
	n.Current("i", ground, first, 1)
	s, err := settle(n)
	if err != nil {
		return nil, err
	}
	return answers{"R": s.Voltage(first)}, nil
}

// behind is a source, a resistance and so many diodes in series.
func behind(volts, ohms float64, d circuit.Diode, count int) (i, v float64, err error) {
	n := circuit.New()
	at := n.Node("a")
	top := n.Node("top")
	n.Source("v", top, ground, volts)
	r := n.Resistor("r", top, at, ohms)
	anode := at
	for k := range count {
		cathode := ground
		if k < count-1 {
			cathode = n.Node("between")
		}
		n.Diode([]string{"d1", "d2"}[k], anode, cathode, d)
		anode = cathode
	}
	s, err := settle(n)
	if err != nil {
		return 0, 0, err
	}
	return s.Current(r), s.Voltage(at), nil
}

func diodeCircuit(_ context.Context, in struct{ V, R, Is, N, Vt float64 }) (answers, error) {
	i, v, err := behind(in.V, in.R, circuit.Diode{Saturation: in.Is, Emission: in.N * in.Vt}, 1)
	return answers{"I": i, "Vd": v}, err
}

func reversedBattery(_ context.Context, in struct {
	E, R, Is, N, Vt float64
	Diodes          int `json:"n_diodes"`
}) (answers, error) {
	i, v, err := behind(in.E, in.R, circuit.Diode{Saturation: in.Is, Emission: in.N * in.Vt}, in.Diodes)
	return answers{"I": i, "Vdiodes": v}, err
}

// decadeDiode has a diode that is given by one point and its volts a decade.
func decadeDiode(_ context.Context, in struct {
	V, R, I0, V0 float64
	PerDecade    float64 `json:"per_decade"`
}) (answers, error) {
	a := in.PerDecade / math.Ln10
	i, v, err := behind(in.V, in.R, circuit.Diode{Saturation: in.I0 / math.Expm1(in.V0/a), Emission: a}, 1)
	return answers{"I_mA": 1e3 * i, "Vd": v}, err
}

// contradiction is 1 if a network is found to have no solution at all.
func contradiction(n *circuit.Network) (answers, error) {
	_, err := settle(n)
	var not *circuit.NoUniqueError
	if errors.As(err, &not) && !not.Consistent {
		return answers{"status": 1}, nil
	}
	return answers{"status": 0}, nil
}

func twoSources(_ context.Context, _ struct{}) (answers, error) {
	n := circuit.New()
	a := n.Node("1")
	n.Resistor("r", a, ground, 10)
	n.Source("v", a, ground, 12)
	n.Source("w", a, ground, 13)
	return contradiction(n)
}

func openNode(_ context.Context, _ struct{}) (answers, error) {
	n := circuit.New()
	a, b := n.Node("1"), n.Node("2")
	n.Resistor("r", a, ground, 10)
	n.Current("i", ground, b, 1)
	n.Source("v", a, ground, 5)
	return contradiction(n)
}

func badlyScaled(_ context.Context, in struct {
	R [3]float64
	V float64
}) (answers, error) {
	n := circuit.New()
	a, b, c := n.Node("1"), n.Node("2"), n.Node("3")
	n.Source("v", a, ground, in.V)
	n.Resistor("r1", a, b, in.R[0])
	n.Resistor("r2", b, c, in.R[1])
	last := n.Resistor("r3", c, ground, in.R[2])
	s, err := settle(n)
	if err != nil {
		return nil, err
	}
	return answers{"V2": s.Voltage(b), "V3": s.Voltage(c), "I_uA": 1e6 * s.Current(last)}, nil
}

// fed returns a bus behind the module of PV-07, the diode of NET-21 and a wire.
func fed(wire float64) (n *circuit.Network, bus circuit.Node, module circuit.ID) {
	const thermal = 1.380649e-23 * 298.15 / 1.602176634e-19 // k·T/q of the SI at 25 °C
	n = circuit.New()
	plus, cathode := n.Node("pv"), n.Node("k")
	bus = n.Node("bus")
	module = n.Panel("module", plus, ground, circuit.Panel{Photocurrent: 6.15, Saturation: 2.4e-10, A: 37.8 * thermal, Series: 0.22, Shunt: 180})
	n.Diode("d", plus, cathode, circuit.Diode{Saturation: 1e-7, Emission: 0.9 * 0.0257})
	n.Resistor("wire", cathode, bus, wire)
	return n, bus, module
}

func chargingPoint(_ context.Context, in struct {
	Wire float64 `json:"R_wire"`
	E, R float64
	Load float64 `json:"R_load"`
}) (answers, error) {
	n, bus, module := fed(in.Wire)
	battery := n.Battery("battery", bus, ground, in.E, in.R)
	n.Resistor("load", bus, ground, in.Load)
	s, err := settle(n)
	if err != nil {
		return nil, err
	}
	return answers{"V_batt": s.Voltage(bus), "I_pv": -s.Current(module), "I_batt": s.Current(battery)}, nil
}

func batteryGone(_ context.Context, in struct {
	Wire float64 `json:"R_wire"`
	Load float64 `json:"R_load"`
}) (answers, error) {
	n, bus, module := fed(in.Wire)
	n.Resistor("load", bus, ground, in.Load)
	s, err := settle(n)
	if err != nil {
		return nil, err
	}
	return answers{"V_bus": s.Voltage(bus), "I": -s.Current(module)}, nil
}
