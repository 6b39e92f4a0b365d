// Package ready judges every item of the dossier contents: present, partly, missing,
// not needed, or left to the assessor. Start at [Readiness]; the rules stand in one
// file a part of the dossier.
package ready
