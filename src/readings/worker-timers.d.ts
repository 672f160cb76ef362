/**
 * Stands in for `worker-timers`, of which mqtt uses two functions in a browser, while types are checked (`paths` in
 * tsconfig.json): the package's own need a browser's declarations, which have no place in this program.
 */
export declare function setInterval(callback: () => void, ms: number): number;
export declare function clearInterval(id: number): void;
