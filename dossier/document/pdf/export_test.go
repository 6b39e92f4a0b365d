package pdf

// What the tests that stand outside this package look at.

const BodyBottom = bodyBottom
const FooterY = footerY
const HeaderY = headerY
const MarginL = marginL
const MarginR = marginR
