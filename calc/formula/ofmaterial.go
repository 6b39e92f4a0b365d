package formula

import "gallipot/calc/law/table"

// ofTables is a memory with the tables that it holds for.
type ofTables[T any] struct {
	tables *table.Tables
	memory T
}

// MaterialMemory returns the one memory of its type of a material, for what is found about it
// whatever the product: it goes with the material, and is that of the first tables asked
// for. With other tables, or without a material, nothing is remembered: it is nil.
func MaterialMemory[T any](in *Input, m *Material) *T {
	if m == nil {
		return nil
	}
	of := memoryOf(&m.memories, func() *ofTables[T] { return &ofTables[T]{tables: in.Law} })
	if of.tables != in.Law {
		return nil
	}
	return &of.memory
}
