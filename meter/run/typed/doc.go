// Package typed reads what a person types beside a run: a bottle that is brought, a note
// about the plate, and values in which fingers slip; pure.
package typed
