package charge

import "hindwatt/internal/page"

// method lists the equations, numbered as in the code and in docs/models.md.
var method = []page.Method{
	{Text: "Each year has weather of its own, minute by minute, and a unit of its own. A year begins in its sunniest month, a month after the battery was full. What happens within a minute is in the documentation of the kernel.",
		Equation: "[CH1] room' = room - (I_main - I_self) · 60 s", Source: "[SN13] to [SN25], [K1] to [K4]"},
	{Text: "Units are drawn in strata: how far a unit holds the battery off its target by the setpoint study, panel power, soiling, standby, and what is not known of the battery: gassing (half to twice), capacity (±5 %), resistance (±25 %) where the folder writes no spread.",
		Equation: "[CH2] x = x((j + u)/n), j a permutation of 0 … n-1", Source: "McKay, Beckman, Conover, Technometrics 21 (1979); the three spreads: estimates"},
	{Text: "Years are independent draws, so that the next one lies between the least and the most of them with a known probability, whatever its distribution.",
		Equation: "[CH3] P = (n + 1 - 2r)/(n + 1); n = 40, r = 1: 95 %", Source: "order statistics; ISO 16269-6 gives the same for tolerance"},
	{Text: "Share of years and units inside a bound, with the limits of a count.",
		Equation: "[CH4] k of n; Clopper and Pearson", Source: "as [V2]"},
	{Text: "The drop from panel to battery is that of the controller's own network, solved at 20 currents and 5 temperatures, its parts as warm as they get; monotone curves between.",
		Equation: "[CH5] V_panel = V_battery + drop(I, T_air)", Source: "package hardware; Fritsch and Butland 1984"},
	{Text: "By night the controller draws what it draws asleep, and what leaks back into the panel's side.",
		Equation: "[CH6] I_night = I_day - (I_day - I_asleep) + I_leak(V)", Source: "definition"},
	{Text: "Water by Faraday's law, less what recombines, which is a share up to C/100; cycles by rainflow.",
		Equation: "[CH7] m = M/(2F)·(Q - r·(Q - Q_over)); cycles = Σ depth · count; life = Σ count · (depth/0.8)^1.1 / N", Source: "Faraday; ASTM E1049-85; N as the battery's data sheet"},
	{Text: "Ventilation: by the standard's currents, by the largest gassing that the years show, and with the switch stuck on, all of the panel's current gassing and nothing recombining. The opening follows the largest.",
		Equation: "[CH8] Q = 0.05·n·I_gas·C·10⁻³ m³/h; A = 28·Q cm²", Source: "IEC 62485-2:2010, 7.2 and 7.3"},
	{Text: "Settings are varied one at a time, each choice with the same unit and the same years, so that their weather cancels.",
		Equation: "[CH9] d = mean of (choice - own) over n years, ± t(0.975, n - 1) · s/√n", Source: "paired comparison, Student 1908"},
	{Text: "What the panel would give at its maximum power is summed over the same minutes, from a table over sun and cell temperature.",
		Equation: "[CH10] E = Σ P_max(G, T) · 60 s", Source: "package panel"},
	{Text: "The spread over years and units is split: each input by half of what it moves the quantity from a standard deviation below to one above, in the same years; the rest is the weather's.",
		Equation: "[CH11] u = (y(x + s) - y(x - s))/2; weather = √(s²(y) - Σ u²)", Source: "JCGM 100:2008, 5.1.3 note 2"},
}
