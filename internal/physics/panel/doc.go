// Package panel answers what current a photovoltaic panel gives at a voltage: in any light and at any
// cell temperature, in the dark and reversed, as a string or in parallel, soiled, aged or partly shaded.
//
// Everything is in SI units: A, V, Ω, W/m², K, s. A Curve is the panel at one irradiance and one
// temperature; a Panel is what a data sheet says of it, and At makes the Curve. Curve's methods take any finite
// voltage or current, give finite results, and give the same bits on every promised platform.
//
// It leaves out: the spectrum and the angle of the light (give the irradiance that the cells see), the capacitance of
// the junction, and the reverse breakdown of single cells except where a shaded panel needs it.
//
// Sources: De Soto, Klein and Beckman, Solar Energy 80 (2006), p. 78 (five parameters and their translation); Merten, Asensi, Voz,
// Shah, Platz and Andreu, IEEE Trans. Electron Devices 45 (1998), p. 423 (amorphous silicon); Duffie and Beckman,
// Solar Engineering of Thermal Processes, 4th ed. 2013, section 23.3 (cell temperature). Equation numbers [Y…] are those of docs/models.md.
package panel
