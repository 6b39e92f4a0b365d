// Package deepcopy copies values with all that they point to. It stands in for the module of
// this name, of which the spreadsheet library uses [Copy] alone, to copy columns, rows and
// formats of one type (go.mod of the program replaces it).
//
// Decisions:
//   - 2026-11-30: the module looks for copying methods of every type by their number, and
//     because of that the linker keeps every exported method of the whole program: some 4 MB,
//     a tenth of it, that nothing calls. The types of the spreadsheet library have no such
//     methods. The standard library's text/template has the same effect: testdata/lean.
package deepcopy

import (
	"fmt"
	"reflect"
)

// Copy copies src, a value or a pointer to one, into what dst points to, which has the same
// type. Fields that are not exported stay as they are in dst, and so do functions and channels
// that are nil in src; one that is not is an error, for there is no copy of it.
//
// Errors: dst is no pointer or nil, src is nil, the types differ, or something in src cannot be
// copied.
func Copy(dst, src any) error {
	to, from := reflect.ValueOf(dst), reflect.ValueOf(src)
	if to.Kind() != reflect.Pointer || to.IsNil() {
		return fmt.Errorf("deepcopy: %T is not a pointer to something", dst)
	}
	to = to.Elem()
	if from.Kind() == reflect.Pointer && to.Kind() != reflect.Pointer {
		from = from.Elem()
	}
	if !from.IsValid() || from.Type() != to.Type() {
		return fmt.Errorf("deepcopy: a %T cannot be copied into a %T", src, dst)
	}
	return deep(to, from)
}

// deep copies one value into another of the same type.
func deep(to, from reflect.Value) error {
	switch from.Kind() {
	case reflect.Pointer, reflect.Interface:
		if from.IsNil() {
			to.SetZero()
			return nil
		}
		fresh := reflect.New(from.Elem().Type())
		if err := deep(fresh.Elem(), from.Elem()); err != nil {
			return err
		}
		if from.Kind() == reflect.Interface {
			fresh = fresh.Elem()
		}
		to.Set(fresh)
	case reflect.Struct:
		for i := range from.NumField() {
			if !from.Type().Field(i).IsExported() {
				continue
			}
			if err := deep(to.Field(i), from.Field(i)); err != nil {
				return err
			}
		}
	case reflect.Slice:
		if from.IsNil() {
			to.SetZero()
			return nil
		}
		to.Set(reflect.MakeSlice(from.Type(), from.Len(), from.Len()))
		return each(to, from)
	case reflect.Array:
		return each(to, from)
	case reflect.Map:
		if from.IsNil() {
			to.SetZero()
			return nil
		}
		to.Set(reflect.MakeMapWithSize(from.Type(), from.Len()))
		for _, key := range from.MapKeys() {
			fresh := reflect.New(from.Type().Elem()).Elem()
			if err := deep(fresh, from.MapIndex(key)); err != nil {
				return err
			}
			to.SetMapIndex(key, fresh)
		}
	case reflect.Func, reflect.Chan, reflect.UnsafePointer:
		if !from.IsZero() {
			return fmt.Errorf("deepcopy: a %s cannot be copied", from.Type())
		}
	default:
		to.Set(from)
	}
	return nil
}

// each copies the elements of a slice or an array.
func each(to, from reflect.Value) error {
	for i := range from.Len() {
		if err := deep(to.Index(i), from.Index(i)); err != nil {
			return err
		}
	}
	return nil
}
