/// <reference types="astro/client" />

/** Folder of the site's sources, with a slash at its end; put in by the build. */
declare const __SITE_FOLDER__: string;
