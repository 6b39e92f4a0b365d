package limits

import (
	"gallipot/calc/formula"
	"gallipot/calc/law/annex"
	"gallipot/ingredients/exact"
)

// whereMemory keeps the words of conditions, which many products are told.
type whereMemory struct {
	rows    formula.Memo[*annex.Limit, string]
	clauses formula.Memo[clauseKey, string]
	kept    formula.Memo[keptKey, string]
}

type clauseKey struct {
	row *annex.Limit
	i   int
}

// keptKey is what the words about a limit that is kept rest on.
type keptKey struct {
	row    *annex.Limit
	limit  exact.Num
	strict bool
}

func (m *matcher) words() *whereMemory { return formula.MemoryOf[whereMemory](m.session) }

// where says in words where a row holds, made once for each row.
func (m *matcher) where(row *annex.Limit) string {
	return m.words().rows.Of(row, func() string { return row.Condition.Words() })
}

// whereClause says in words what the i-th clause of a row asks for.
func (m *matcher) whereClause(row *annex.Limit, i int) string {
	return m.words().clauses.Of(clauseKey{row, i}, func() string {
		return "the row is " + row.Condition.Clauses[i].Words()
	})
}
