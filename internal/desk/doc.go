// Package desk is the product folder in the browser: a page for each of the maker's questions, with
// each value beside the figure that it drives.
//
// The pages are those that the dossier prints (package page), in a frame of the desk's own with inputs
// added; no answer is worded here and nothing is computed here. Everything works without scripts: the
// modules in assets only spare the reader a reload.
//
// # Who may come in
//
// The server listens on the loopback addresses of this machine and on nothing else. It answers only
// to its own names in Host, to whoever has come by the address that it printed, once, and has had a
// cookie of the same site since, and takes changes only from its own pages. No path of a request ever
// becomes the path of a file: values are written through package product, and the files of the
// page itself are in the program.
//
// # What it costs
//
// Nothing runs while no page is open and nothing is being computed.
package desk
