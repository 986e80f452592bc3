// Package conductor answers what a conductor costs and what it stands: the resistance of wires and
// printed tracks at their temperature, the steady current of a wire in free air, the time to
// a withstand temperature or to melting in a fault, and when a fuse opens.
//
// Everything is in SI units: A, V, Ω, m, m², s, W, temperatures in K (what standards print in mm² and
// °C is converted at the edge). Functions are pure and give the same bits on every promised platform.
//
// It leaves out: skin effect (direct current only), inductance, the cooling of short leads by what they
// end in, bundles of wires and ducts.
//
// Sources: IEC 60228:2004 (resistance of conductors), IEC 60949 and IEC 60364-4-43, 60364-5-54 (adiabatic
// heating), IPC-2221 (printed tracks, by the usual fitted formula), Onderdonk as given by Stauffacher 1928
// (melting), Churchill and Chu 1975 (free convection). Equation numbers [W…] are those of docs/models.md.
package conductor
