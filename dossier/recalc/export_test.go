package recalc

// What the tests that stand outside this package look at.

const ContentsOfSheet = contentsOfSheet
const FormulaSheet = formulaSheet
const MarginSheet = marginSheet
const NameChild = nameChild
const NameEbw = nameEbw
const NameInhaled = nameInhaled
const NameStated = nameStated
const NoDoseWords = noDoseWords
const NoExposureWords = noExposureWords
const TableContents = tableContents
const TableDeclare = tableDeclare
const TableGuide = tableGuide
const TableChanged = tableChanged
const TableOutcomes = tableOutcomes
const Tiny = tiny
const ToleranceName = toleranceName
