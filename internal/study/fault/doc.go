// Package fault answers "What if it is wired wrongly, or a part dies?".
//
// Every wiring mistake at the six terminals and every part gone short, open or adrift is laid over the product's own circuit and
// followed as a sequence of stages: the network is solved, the part that first passes a limit is found, it gives way as its kind
// does, the network is solved again, until nothing changes any more or an hour has passed. Where the battery is then still being
// charged or drained, seven days of it are computed. What may be concluded is an end (unharmed, recovers, part lost, battery or
// load harmed, hazard) and a margin: the nearest limit over what comes, 1 where it is just reached.
//
// Time runs from microseconds to an hour. Within a stage every current is held; a junction warms by its transient impedance, a
// conductor adiabatically below 5 s and by its steady state above. It leaves out: ripple, the inductance of leads but for the
// energy at turning off, arcs but for a fuse's breaking capacity, and what happens inside the panel. A part gives way where its
// data sheet ends: real parts often stand more, so that an end is rather too bad than too good.
//
// Opinions, each marked where it stands: a junction that passes a limit goes short, a capacitor or a resistor opens; a panel has a
// bypass diode for every 18 cells; a load stands 4/3 of the nominal voltage unless the folder says otherwise. No case and no arrangement is known by name.
//
// SI units inside: A, V, W, K (absolute for temperatures), s. Equation numbers [E…] are those of docs/models.md, "Fault".
package fault
