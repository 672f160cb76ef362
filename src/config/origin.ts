/** What deriving needs to know beyond the file's own words. */
export interface Origin {
  /** As the user gave it. */
  readonly file: string;
  /** Makes a path of the file absolute. */
  readonly resolvePath: (path: string) => string;
  /** The file's content, to tell what it gives from what is default. */
  readonly written: unknown;
}
