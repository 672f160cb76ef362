/**
 * Stands in for `hono/ws` while types are checked (`paths` in tsconfig.json). Those of the package need a browser's
 * declarations, which have no place in this program; it opens no web sockets.
 */
export type UpgradeWebSocket<_Socket, _Options> = never;
