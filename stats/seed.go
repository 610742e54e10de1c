package stats

// defaultSeed makes a zero options struct reproducible.
const defaultSeed = 1
