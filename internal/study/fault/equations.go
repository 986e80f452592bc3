package fault

import "hindwatt/internal/page"

// method says how it was computed.
var method = []page.Method{
	{Text: "Each mistake joins the terminals of the product's own circuit differently, each failure makes one part short, open or adrift; the network is solved in each state of sun, battery and control."},
	{Text: "In each stage the part that passes a limit first is found: junctions by their transient thermal impedance, fuses by their melting integral and time-current points, conductors by their adiabatic heating below 5 s and their steady heating above, clamps and avalanche by energy.", Source: "IEC 60364-4-43 (adiabatic equation)"},
	{Text: "It gives way as its kind does (a junction goes short, a fuse, a track or a resistor opens), the network is solved again, and so on until nothing changes, an hour has passed, or, where a battery goes on being charged, seven days."},
	{Text: "The margin is the nearest limit over what comes. Its interval holds 95 of 100 units drawn from the data sheets' spread. Where any of them ends worse than the nominal one, the cell has a question mark: what is unharmed there is unproven, and the leaflet says of how many of 100."},
}
