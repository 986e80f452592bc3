package rating

import (
	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
)

type hardwareVariable = hardware.Variable

// method lists the equations, numbered as in the code and in docs/models.md, which a test holds to the same text.
var method = []page.Method{
	{Text: "The largest current that can be held for ever: that at which the first limit of any part is met, the circuit and the heat solved together. Limits are the data sheets' largest values; beyond 0.8 of a junction's there is a caution. Currents are held against the mean of a cycle at a diode and the rms at every other part, temperatures against the mean of a cycle: peaks within a cycle are not judged.",
		Equation: "[Q1] I = min over duties of max{i : every limit holds at i}",
		Source:   "definition; 0.8: common practice"},
	{Text: "What a thermometer on a part reads: its junction less the drop to its case; a part whose data sheet gives no way to the case reads as its hottest place.",
		Equation: "[Q2] T_case = T_j - P · R_jc",
		Source:   "definition of the thermal resistance, JEDEC JESD51"},
	{Text: "Regulation is looked at in steps of a tenth of the cycle, and units are then asked at full conduction and at the worst duty of a nominal unit; the worse counts.",
		Equation: "[Q3] d = 1, 0.9 … 0",
		Source:   "choice"},
	{Text: "Units: 50 draws of what is merely unknown (convection, the film inside, the contact of the mounting, fillings), stratified; 40 units for each, each data sheet's value drawn within its limits.",
		Equation: "[Q4] x = low + (high - low) · p;  x = mean + sd · z(p);  factors of heat: low · (high/low)^p",
		Source:   "JCGM 101:2008 6.4.2; nested sampling; McKay, Beckman, Conover, Technometrics 21 (1979)"},
	{Text: "Share of units inside a bound, at the worst of the promised ambients.",
		Equation: "[Q5] share = units inside / units, for each draw of the unknown",
		Source:   "as [S14]"},
	{Text: "Uncertainty budget by the law of propagation, limits as rectangular.",
		Equation: "[Q6] u² = Σ (∂f/∂x_i)² u_i²;  u_i = limit/√3",
		Source:   "JCGM 100:2008 5.1.2, 4.3.7"},
	{Text: "A reading is carried to other conditions by the model: a rise above the air, a drop or a current keeps its proportion k to what the model says; a part's temperature becomes the current at which that part, k times as warm, meets its limit, whatever others bear. How far simulated units carry it differently counts as uncertainty.",
		Equation: "[Q7] k = (T_read - T_air)/(T_model - T_air);  V' = V · V_model'/V_model",
		Source:   "choice; exact where the model errs by one thermal resistance alone"},
	{Text: "Derating: [Q1] from -20 °C to 70 °C, every 5 K; the band from 100 units at every third point, and between them in proportion.",
		Equation: "[Q8] I(T) as [Q1]",
		Source:   "definition"},
	{Text: "Every other diode and mosfet of the folder, air or potting, metal or plastic, mountings and copper, one at a time, at all duties. What changes less than 0.05 A is named, not listed.",
		Equation: "[Q9] gain = I changed - I",
		Source:   "definition"},
	{Text: "The largest panel for a rating.",
		Equation: "[Q10] I_sc = I/1.25 for ever;  I/1.5 at the edge of a cloud",
		Source:   "US National Electrical Code 690.8(A)(1), IEC 62548 (from memory); 1.5: common practice"},
}
