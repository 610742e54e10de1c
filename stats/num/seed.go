package num

// DefaultSeed makes a zero options struct reproducible.
const DefaultSeed = 1
