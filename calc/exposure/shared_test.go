package exposure_test

const today = 20261125

// of assesses the product with pairs of sheet and amount.
