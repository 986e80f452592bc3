// Package heat answers how warm each part of a unit gets: the surfaces of its enclosures in still
// air, the air or the potting inside, the board, the junctions.
//
//	air, free convection, radiation   AirAt, Convect, Surface, Radiation, Shields
//	bodies of the usual shapes        Box, Cylinder, Sleeve; Surface.Temperature
//	what a part makes of its current  Conduction, Rectifier, Leakage, Switching, Inductive
//	one part, one resistance          Steady, CriticalAmbient
//	many nodes                        Network, Network.Solve, Network.LargestAmbient
//	an enclosure as its maker says    Case, Part, Assemble
//	pulses                            Stages
//
// Units are SI: W, m, K, W/(m·K), Pa; temperatures are absolute unless a name says Rise. Everything
// is steady but Stages. Each equation carries its number of docs/models.md, "Heat".
//
// Air is still: no fan, no wind, no vents. Walls are taken as of one temperature, a board
// as a sheet around each part. Correlations hold within some 10 to 20 %; Doubts says by how much each
// model may be off, for the studies to sample.
package heat
