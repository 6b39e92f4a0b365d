package calc

import (
	"sync"

	"gallipot/calc/law"
	"gallipot/ingredients"
)

// Session is what the assessments of one run share: the tables, the dictionary,
// and what was found in them. Tables and dictionary must not change; what is
// remembered is let go with the session. It may be used in parallel.
type Session struct {
	Law  *law.Tables
	Dict *ingredients.Dictionary

	match     sync.Once
	matcher   *matcher
	allergens sync.Map // allergenIndexKey → *allergenIndex
	published sync.Map // publishedKey → *published
	functions sync.Map // wording → function, "" where it is not understood
}

// NewSession returns a session over a set of tables.
func NewSession(tables *law.Tables) *Session {
	return &Session{Law: tables, Dict: tables.Dictionary()}
}

// rows returns the matcher of the session, made on first use.
func (s *Session) rows() *matcher {
	s.match.Do(func() { s.matcher = newMatcher(s) })
	return s.matcher
}
