package profile

// Materials is here for tests alone.
var Materials = materials
