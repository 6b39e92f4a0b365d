package assess

// MostMaterials is how many materials an item names for one supplier; the
// letters name them all.
const MostMaterials = 6
