// What the server puts before sw.js, for the type check alone.
declare const BUILD: string;
declare const SHELL: string[];
