/** What is wrong with one compressed tile; the caller adds the file and the tile. */
export class TileError extends Error {}
