// Package houserules holds no code of the product, only tests about the repository itself: which
// package may import which, what the lower floors may not touch, that every citation is defined in
// docs/SOURCES.md, that no word appears which docs/NAMES.md says we do not use, and a few matters
// of upkeep.
//
// The tests read the files themselves and never ask the go command, whose answers the test cache
// would keep although a file has changed. Each rule is also run on a small tree that breaks it.
package houserules
