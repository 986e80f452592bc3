package fault

// setup is what is connected, and what has become of the parts.
type setup struct{}

// world is what stands outside, in plain numbers.
type world struct{}
