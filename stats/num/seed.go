package num

// DefaultSeed is the seed used when an options struct gives 0.
const DefaultSeed = 1
