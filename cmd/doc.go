// Package cmd holds the project's commands, one in each folder. It has no code of
// its own; its tests check that every package imports only what its layer may
// import, and that every dependency of the module has a reason.
package cmd
