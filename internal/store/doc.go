// Package store keeps a studio's records in a database: SQLite in one file of the studio's folder,
// or PostgreSQL for a studio that has outgrown one machine.
//
// It is one SQL text for both; what they do not share - opening, the full-text tables, taking a
// plate for oneself - stands in dialect.go and in the schema's two small folders. [Store] is
// [studio.Records]: it fetches, stores and translates errors, and has no opinion about plates.
//
// What was acknowledged stays: a call returns after its transaction is on the disk, so an event
// survives a killed process and a lost mains. Times are kept as whole microseconds UTC, the zero
// time as 0; lengths of time as nanoseconds. Created times and plate numbers, once stored, never
// change. Events are only ever added: the database itself refuses to change or delete one.
//
// Text that is not UTF-8 or holds a zero byte is refused with a [studio.Invalid], and so is a
// figure that is not finite, because the two databases would treat them differently. A database
// written by a newer Platewright is refused as well.
package store
